//! A workbench on a folder of its own.

use reedmace_workbench::{Options, Workbench, start};
use std::{
    fs,
    io::{Read, Write},
    net::TcpStream,
    path::{Path, PathBuf},
    time::Duration,
};
use tempfile::TempDir;

pub const TOKEN: &str = "tarn-hollow-test-0123456789";

/// A served folder; everything goes when it is dropped.
pub struct Served {
    pub folder: TempDir,
    pub state: TempDir,
    pub port: u16,
    pub workbench: Option<Workbench>,
}

/// What came back.
pub struct Answer {
    pub status: u16,
    pub head: String,
    pub body: Vec<u8>,
}

impl Answer {
    /// The value of a header; empty if there is none.
    pub fn header(&self, name: &str) -> String {
        let found = self.head.lines().find_map(|line| {
            let (key, value) = line.split_once(':')?;
            key.eq_ignore_ascii_case(name).then(|| value.trim().to_owned())
        });
        found.unwrap_or_default()
    }

    pub fn text(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }

    pub fn json(&self) -> serde_json::Value {
        serde_json::from_slice(&self.body).unwrap_or_else(|why| panic!("{why}: {}", self.text()))
    }
}

/// Where the worked examples are.
pub fn designs() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../designs")
}

/// The text of a worked example.
pub fn example(name: &str) -> String {
    fs::read_to_string(designs().join(format!("{name}.toml"))).unwrap()
}

impl Served {
    /// A workbench on a folder with the hopper's lid in it.
    pub fn new() -> Self {
        let (folder, state) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
        fs::write(folder.path().join("hopper-lid.toml"), example("hopper-lid")).unwrap();
        let mut served = Self { folder, state, port: 0, workbench: None };
        served.start();
        served
    }

    /// Ends the workbench and starts another one on the same folder.
    pub fn restart(&mut self) {
        self.workbench = None;
        self.start();
    }

    fn start(&mut self) {
        let workbench = start(options(self.folder.path(), Some(self.state.path()))).unwrap();
        let address = workbench.url().strip_prefix("http://127.0.0.1:").unwrap();
        self.port = address.split('/').next().unwrap().parse().unwrap();
        self.workbench = Some(workbench);
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub fn host(&self) -> String {
        format!("127.0.0.1:{}", self.port)
    }

    /// `GET` of an address behind the token.
    pub fn get(&self, path: &str) -> Answer {
        self.ask(&format!("/{TOKEN}{path}"), &[])
    }

    /// `GET` of any address with headers beside, or in place of, the usual Host.
    pub fn ask(&self, path: &str, headers: &[(&str, &str)]) -> Answer {
        self.request("GET", path, headers)
    }

    pub fn request(&self, method: &str, path: &str, headers: &[(&str, &str)]) -> Answer {
        let mut stream = TcpStream::connect(("127.0.0.1", self.port)).unwrap();
        stream.set_read_timeout(Some(Duration::from_secs(120))).unwrap();
        let mut head = format!("{method} {path} HTTP/1.1\r\nConnection: close\r\n");
        if !headers.iter().any(|(name, _)| *name == "Host") {
            head.push_str(&format!("Host: {}\r\n", self.host()));
        }
        for (name, value) in headers {
            head.push_str(&format!("{name}: {value}\r\n"));
        }
        head.push_str("\r\n");
        stream.write_all(head.as_bytes()).unwrap();
        let mut all = Vec::new();
        stream.read_to_end(&mut all).unwrap();
        let end = all.windows(4).position(|four| four == b"\r\n\r\n").expect("an answer");
        let head = String::from_utf8_lossy(&all[..end]).into_owned();
        let status = head.split(' ').nth(1).unwrap().parse().unwrap();
        Answer { status, head, body: all.split_off(end + 4) }
    }
}

/// Options for this machine only.
pub fn options(path: &Path, state: Option<&Path>) -> Options {
    Options {
        path: path.to_path_buf(),
        bind: [127, 0, 0, 1].into(),
        port: 0,
        token: Some(TOKEN.into()),
        catalogue: reedmace_design::Catalogue::builtin(),
        state: state.map(Path::to_path_buf),
    }
}
