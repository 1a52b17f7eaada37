// Who is let in, and what a browser is told to refuse.

import assert from "node:assert/strict";
import { request } from "node:http";
import { after, afterEach, beforeEach, test } from "node:test";
import { Stage, TOKEN, closeBrowser, settled } from "./stage.mjs";

/** @type {Stage} */
let stage;
beforeEach(async () => {
  stage = await Stage.open();
});
afterEach(() => stage.close());
after(closeBrowser);

/** Status and headers of an answer; 101 for an upgrade that succeeds. */
function ask(path, headers = {}) {
  return new Promise((done, fail) => {
    const asked = request({ host: "127.0.0.1", port: stage.port, path, headers: { host: `127.0.0.1:${stage.port}`, ...headers } });
    asked.on("response", (answer) => {
      answer.resume();
      done({ status: answer.statusCode, headers: answer.headers });
    });
    asked.on("upgrade", (answer, socket) => {
      socket.destroy();
      done({ status: answer.statusCode, headers: answer.headers });
    });
    asked.on("error", fail);
    asked.end();
  });
}

const upgrade = { connection: "Upgrade", upgrade: "websocket", "sec-websocket-version": "13", "sec-websocket-key": "dGhlIHNhbXBsZSBub25jZQ==" };

test("a wrong token gets nothing", async () => {
  const wrong = TOKEN.replace("0", "1");
  for (const path of ["/", `/${wrong}/`, `/${wrong}/api/start`, `/${wrong}/page/app.js`, "/page/app.js", "/api/start"]) {
    assert.equal((await ask(path)).status, 404, path);
  }
  assert.equal((await ask(`/${wrong}/api/live`, { ...upgrade, origin: `http://127.0.0.1:${stage.port}` })).status, 404);
  assert.equal((await ask(`/${TOKEN}/`)).status, 200);
});

test("a foreign Origin or Host is refused", async () => {
  const own = `http://127.0.0.1:${stage.port}`;
  for (const origin of ["http://example.org", "null", `http://127.0.0.1:${stage.port + 1}`]) {
    assert.ok((await ask(`/${TOKEN}/api/live`, { ...upgrade, origin })).status >= 400, origin);
    assert.ok((await ask(`/${TOKEN}/api/start`, { origin })).status >= 400, origin);
  }
  assert.ok((await ask(`/${TOKEN}/api/live`, upgrade)).status >= 400, "a socket without an Origin");
  assert.ok((await ask(`/${TOKEN}/`, { host: `example.org:${stage.port}` })).status >= 400, "a foreign Host");
  assert.equal((await ask(`/${TOKEN}/api/live`, { ...upgrade, origin: own })).status, 101);
});

test("nothing outside the folder is read", async () => {
  for (const path of ["page/../Cargo.toml", "page/%2e%2e/%2e%2e/Cargo.toml", "api/thumbnail?file=../../etc/passwd", "api/thumbnail?file=%2Fetc%2Fpasswd"]) {
    assert.ok((await ask(`/${TOKEN}/${path}`)).status >= 400, path);
  }
});

test("the page forbids all that it does not need", async () => {
  const { headers } = await ask(`/${TOKEN}/`);
  const policy = headers["content-security-policy"];
  for (const part of ["default-src 'none'", "frame-ancestors 'none'", "base-uri 'none'", "form-action 'none'"]) {
    assert.ok(policy.includes(part), `${part} in ${policy}`);
  }
  assert.ok(!policy.includes("unsafe"), policy);
  assert.equal(headers["referrer-policy"], "no-referrer");
  assert.equal(headers["x-content-type-options"], "nosniff");
});

test("nothing is fetched from elsewhere, and all of it weighs at most 2.5 MB", async () => {
  const bodies = [];
  const hosts = new Set();
  const page = await stage.page("file=hopper-lid.toml", {}, (fresh) => {
    fresh.on("response", (answer) => bodies.push(answer.body().then(({ length }) => length, () => 0)));
    fresh.on("request", (asked) => hosts.add(new URL(asked.url()).host));
  });
  await settled(page);
  await page.waitForLoadState("networkidle");
  assert.deepEqual([...hosts].filter(Boolean), [`127.0.0.1:${stage.port}`]);
  const weight = (await Promise.all(bodies)).reduce((sum, length) => sum + length, 0);
  assert.ok(weight > 500_000 && weight <= 2_500_000, `${weight} bytes`);
});
