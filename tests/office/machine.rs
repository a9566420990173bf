//! Somebody's machine: a home of their own, and the program `skid` as cargo built it.

use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::OnceLock;

use serde_json::{Value, json};
use tempfile::TempDir;
use tests::{Furnished, TestApp};

use crate::terminal::Terminal;

/// What everybody here has for a password.
pub const PASSWORD: &str = "a cold morning in june";

/// The program, built with the workspace's own cargo when it is not there yet.
fn program() -> &'static Path {
    static PROGRAM: OnceLock<PathBuf> = OnceLock::new();
    PROGRAM.get_or_init(|| {
        let built = Command::new(env!("CARGO"))
            .args(["build", "--quiet", "--package", "client", "--bin", "skid"])
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .status()
            .expect("cargo runs");
        assert!(built.success(), "skid does not build");
        let here = std::env::current_exe().expect("this program lies somewhere");
        let built = here.parent().and_then(Path::parent).expect("in deps of the target");
        built.join("skid")
    })
}

/// Somebody's machine.
pub struct Machine {
    home: TempDir,
    service: String,
    token: Option<String>,
}

/// What a run of the program came to.
#[derive(Debug)]
pub struct Run {
    /// The status.
    pub status: i32,
    /// Standard output.
    pub out: String,
    /// Standard error.
    pub err: String,
}

impl Run {
    /// Checks the status, and gives standard output.
    pub fn ends(self, status: i32) -> String {
        assert_eq!(self.status, status, "{}\n{}", self.out, self.err);
        self.out
    }

    /// The one JSON object on standard output.
    pub fn json(self, status: i32) -> Value {
        let out = self.ends(status);
        serde_json::from_str(&out).unwrap_or_else(|error| panic!("{error}: {out}"))
    }
}

impl Machine {
    /// A machine where nobody is signed in.
    pub fn new(app: &TestApp) -> Self {
        let home = tempfile::tempdir().expect("a directory can be made");
        Self { home, service: app.url(), token: None }
    }

    /// A machine with a token in the environment.
    pub fn with_token(app: &TestApp, outfit: &Furnished, role: wire::Role) -> Self {
        use api::http::caller::{Caller, Member};
        let subject = role.name().to_owned();
        let member = Member { subject, role, outfit: outfit.outfit, mill: None, grant: None };
        let token = app.token(&Caller::Member(member), jiff::SignedDuration::from_hours(24));
        Self { token: Some(token), ..Self::new(app) }
    }

    /// A file of the user's.
    pub fn file(&self, name: &str) -> PathBuf {
        self.home.path().join(name)
    }

    /// Writes a file of the user's; answers with its name.
    pub fn write(&self, name: &str, content: &str) -> String {
        std::fs::write(self.file(name), content).expect("it can be written");
        name.to_owned()
    }

    /// The program with its environment.
    fn environment(&self) -> Vec<(OsString, OsString)> {
        let home = self.home.path().as_os_str().to_owned();
        let mut set: Vec<(OsString, OsString)> = vec![
            ("HOME".into(), home),
            ("PATH".into(), std::env::var_os("PATH").unwrap_or_default()),
            ("SKID_SERVICE".into(), self.service.clone().into()),
            ("TERM".into(), "xterm".into()),
        ];
        set.extend(self.token.as_ref().map(|token| ("SKID_TOKEN".into(), token.into())));
        set
    }

    fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(program());
        command.args(arguments).env_clear().envs(self.environment()).current_dir(self.home.path());
        command
    }

    /// Runs it over pipes to its end.
    pub fn run(&self, arguments: &[&str]) -> Run {
        let output = self.command(arguments).stdin(Stdio::null()).output().expect("it runs");
        let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("UTF-8");
        let (out, err) = (text(output.stdout), text(output.stderr));
        Run { status: output.status.code().unwrap_or(-1), out, err }
    }

    /// Starts it over pipes.
    pub fn start(&self, arguments: &[&str]) -> Child {
        let mut command = self.command(arguments);
        command.stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().expect("it starts")
    }

    /// Starts it in a terminal so many columns wide.
    pub fn terminal(&self, columns: u16, arguments: &[&str]) -> Terminal {
        Terminal::start(program(), arguments, &self.environment(), (self.home.path(), columns))
    }

    /// Signs somebody in, in a terminal, by a password that is typed and not shown.
    pub fn sign_in(&self, outfit: &Furnished, name: &str) {
        let outfit = outfit.outfit.to_string();
        let mut terminal = self.terminal(80, &["sign-in", "--outfit", &outfit, "--name", name]);
        terminal.wait_for("password:");
        terminal.type_line(PASSWORD);
        terminal.wait_for(&format!("Signed in as {name}"));
        assert_eq!(terminal.end(), 0);
        assert!(!terminal.everything().contains(PASSWORD), "the password is on the screen");
    }
}

/// Registers somebody, who sets the password.
pub fn register(app: &TestApp, outfit: &Furnished, name: &str, role: &str) {
    let registered = outfit.manager.post("/v1/accounts", &json!({"name": name, "role": role})).expect(201);
    let account = registered["account"]["account_id"].as_str().expect("an id");
    let set = json!({"outfit_id": outfit.outfit, "password": PASSWORD,
                     "enrolment_code": registered["enrolment"]["enrolment_code"]});
    let _set = app.stranger().post(&format!("/v1/accounts/{account}/password"), &set).expect(200);
}
