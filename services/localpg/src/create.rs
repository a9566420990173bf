//! Making a cluster, and working on one while no server runs.

use std::fs::{self, DirBuilder, File};
use std::io::{ErrorKind, Write};
use std::os::unix::fs::DirBuilderExt;
use std::path::Path;
use std::process::{Output, Stdio};

use crate::Error;
use crate::account::Account;
use crate::layout::Layout;
use crate::password::Password;
use crate::programs::Programs;

/// The role the service logs in as, and its database.
pub(crate) const SERVICE: &str = "skidway";

/// Who may log in: the service's role, through the socket, with its password. Nobody else.
const ADMISSION: &str = "# Written when the cluster was made: the service's role, by password, through the socket.\n\
     local all skidway scram-sha-256\n";

/// Makes sure there is a cluster and a password for it, and gives the password.
pub(crate) fn ensure(
    programs: &Programs,
    account: &Account,
    layout: &Layout,
    durable: bool,
    progress: &dyn Fn(&str),
) -> Result<Password, Error> {
    if Layout::made_by(layout.data_dir()).is_none() {
        let major = programs.major;
        progress(&format!("Making a PostgreSQL {major} cluster in {}.", layout.data_dir().display()));
        return create(programs, account, layout, durable);
    }
    if let Some(password) = Password::read(&layout.password())? {
        return Ok(password);
    }
    // The file is lost, the data is not: whoever may write here may set a new one.
    progress("The database password is missing: setting a new one.");
    let password = Password::random()?;
    let statement = format!("ALTER ROLE {SERVICE} PASSWORD '{}'\n", password.reveal());
    run_without_server(programs, account, &layout.cluster(), &statement)?;
    password.write(&layout.password())?;
    Ok(password)
}

fn create(programs: &Programs, account: &Account, layout: &Layout, durable: bool) -> Result<Password, Error> {
    let unfinished = layout.unfinished_cluster();
    remove_directory(&unfinished)?;
    DirBuilder::new()
        .mode(0o700)
        .create(&unfinished)
        .map_err(Error::io("create the directory", &unfinished))?;
    account.give(&unfinished)?;
    let password = Password::random()?;
    password.write(&layout.password())?;
    initialise(programs, account, &unfinished, durable)?;
    let admission = unfinished.join("pg_hba.conf");
    fs::write(&admission, ADMISSION).map_err(Error::io("write", &admission))?;
    // Single-user mode reads one statement per line.
    let statements = format!(
        "CREATE ROLE {SERVICE} LOGIN CREATEDB CREATEROLE PASSWORD '{}'\nCREATE DATABASE {SERVICE} OWNER {SERVICE}\n",
        password.reveal()
    );
    run_without_server(programs, account, &unfinished, &statements)?;
    let cluster = layout.cluster();
    fs::rename(&unfinished, &cluster).map_err(Error::io("move the new cluster to", &cluster))?;
    if durable {
        let parent = layout.data_dir();
        File::open(parent).and_then(|it| it.sync_all()).map_err(Error::io("write", parent))?;
    }
    Ok(password)
}

/// Runs `initdb`. Text sorts by its bytes, the same on every machine; the superuser cannot log in.
fn initialise(programs: &Programs, account: &Account, cluster: &Path, durable: bool) -> Result<(), Error> {
    let mut command = programs.command("initdb", Some(account));
    command.arg("-D").arg(cluster);
    command.args(["--username=postgres", "--auth=reject", "--encoding=UTF8", "--locale=C"]);
    if !durable {
        command.arg("--no-sync");
    }
    let output = command.output().map_err(Error::io("run", &programs.path_of("initdb")))?;
    if output.status.success() { Ok(()) } else { Err(refusal(cluster, &output)) }
}

/// Runs `statements`, one per line, in single-user mode: as superuser, with no server that others could reach.
pub(crate) fn run_without_server(
    programs: &Programs,
    account: &Account,
    cluster: &Path,
    statements: &str,
) -> Result<(), Error> {
    let mut command = programs.command("postgres", Some(account));
    command.arg("--single").arg("-D").arg(cluster);
    // A statement that fails must not be repeated in the output: it holds the password.
    command.args(["-c", "log_min_error_statement=panic", "-c", "log_statement=none"]);
    command.args(["-c", "log_destination=stderr", "-c", "logging_collector=off"]);
    command.args(["-c", "password_encryption=scram-sha-256", "postgres"]);
    command.stdin(Stdio::piped()).stdout(Stdio::null()).stderr(Stdio::piped());
    let run = || Error::io("run", Path::new("postgres --single"));
    let mut child = command.spawn().map_err(Error::io("run", &programs.path_of("postgres")))?;
    if let Some(mut input) = child.stdin.take() {
        match input.write_all(statements.as_bytes()) {
            // It refused to start, and says why on its error stream.
            Err(error) if error.kind() == ErrorKind::BrokenPipe => {}
            outcome => outcome.map_err(run())?,
        }
    }
    let output = child.wait_with_output().map_err(run())?;
    // A failed statement does not make the exit status bad.
    let complained = String::from_utf8_lossy(&output.stderr).contains("ERROR:");
    if output.status.success() && !complained { Ok(()) } else { Err(refusal(cluster, &output)) }
}

pub(crate) fn refusal(cluster: &Path, output: &Output) -> Error {
    let said = String::from_utf8_lossy(&output.stderr).trim().to_owned();
    Error::Create { directory: cluster.to_owned(), output: format!("{said}\n({})", output.status) }
}

/// Removes a directory with all in it, if it is there.
pub(crate) fn remove_directory(path: &Path) -> Result<(), Error> {
    match fs::remove_dir_all(path) {
        Err(error) if error.kind() != ErrorKind::NotFound => Err(Error::io("remove", path)(error)),
        _ => Ok(()),
    }
}
