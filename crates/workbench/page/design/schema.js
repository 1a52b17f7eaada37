// What the JSON Schema of design files says about tables and keys.

/**
 * @typedef {object} Schema  the parts of JSON Schema that are used
 * @property {string} [description]
 * @property {Record<string, Schema>} [properties]
 * @property {Schema} [items]
 * @property {Schema[]} [anyOf]
 * @property {Schema[]} [oneOf]
 * @property {unknown[]} [enum]
 * @property {unknown} [const]
 * @property {string[]} [required]
 * @property {string | string[]} [type]
 */

/** @type {Promise<Schema> | null} */
let asked = null;

/** The schema, fetched once. @returns {Promise<Schema>} */
export function designSchema() {
  asked ??= fetch("api/schema").then((answer) => {
    if (!answer.ok) throw new Error(`the schema: ${answer.status}`);
    return answer.json();
  });
  return asked;
}

/** The object a schema describes, behind lists and alternatives. @param {Schema | undefined} schema @returns {Schema | null} */
function object(schema) {
  if (!schema) return null;
  if (schema.properties) return schema;
  for (const inner of [schema.items, ...(schema.anyOf ?? []), ...(schema.oneOf ?? [])]) {
    const found = object(inner);
    if (found) return found;
  }
  return null;
}

/**
 * The schema of a table: `[]` the file itself, `["magnet"]`, `["contact", "coil"]` an inline table.
 * @param {Schema} schema
 * @param {string[]} path
 * @returns {Schema | null}
 */
export function tableOf(schema, path) {
  /** @type {Schema | null} */
  let at = schema;
  for (const key of path) at = object(at?.properties?.[key]);
  return at;
}

/** True where the file may hold several of it, as `[[magnet]]`. @param {Schema} schema */
export const isList = (schema) => schema.type === "array" && object(schema) !== null;

/** True for what is written as a table of its own. @param {Schema} schema */
export const isTable = (schema) =>
  schema.type === "object" || (isList(schema) && schema.items?.properties !== undefined);

/** Words that may stand as the value. @param {Schema} schema @returns {string[]} */
export function words(schema) {
  const here = (schema.enum ?? (schema.const === undefined ? [] : [schema.const])).filter((word) => typeof word === "string");
  return [...here, ...[...(schema.anyOf ?? []), ...(schema.oneOf ?? [])].flatMap(words)];
}

/**
 * A description taken apart: what it means, its range and default, an example.
 * @param {string} text
 */
export function about(text) {
  const [before, example] = text.split(/\s*Example: /);
  const facts = [...before.matchAll(/(?:^|\. )((?:Range|Default|Only where) .*?)(?=\.(?:\s|$))/g)].map((match) => match[1]);
  const meaning = before.split(/(?<=\.) (?=Range |Default |Only where )/)[0];
  return { meaning, facts, example: example ?? null };
}
