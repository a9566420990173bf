//! The server does not outlive the process that opened it, and lives through what is meant for others.

use std::process::{Command, Stdio};
use std::time::Duration;

use crate::support::{
    again, ask, eventually, given_directory, is_running, open, passable_directory, say_ready,
    start_until_ready,
};

/// Not a test of its own: what the tests below start and kill.
#[test]
fn holder_of_a_durable_cluster() {
    let Some(directory) = given_directory() else { return };
    let cluster = open(&directory.join("data")).unwrap();
    say_ready(&directory, &cluster.url());
    std::thread::sleep(Duration::from_secs(60));
}

/// Not a test of its own either.
#[test]
fn holder_of_a_throwaway_cluster() {
    let Some(directory) = given_directory() else { return };
    let database = localpg::throwaway_database(None).unwrap();
    let data_dir = localpg::throwaway().unwrap().data_dir().display().to_string();
    say_ready(&directory, &format!("{data_dir}\n{}", database.url()));
    std::thread::sleep(Duration::from_secs(60));
}

fn this_program() -> std::path::PathBuf {
    std::env::current_exe().unwrap()
}

#[test]
fn killing_the_owner_ends_the_server_and_keeps_the_data() {
    let directory = passable_directory();
    let command = again(&this_program(), "parent_death::holder_of_a_durable_cluster", directory.path());
    let (mut owner, url) = start_until_ready(command, directory.path());
    ask(&url, "CREATE TABLE kept (id int); INSERT INTO kept VALUES (1)").unwrap();
    owner.kill().unwrap();
    owner.wait().unwrap();
    // At once, while the guardian is still at work.
    let cluster = open(&directory.path().join("data")).unwrap();
    assert_eq!(ask(&cluster.url(), "SELECT id FROM kept").unwrap(), ["1"]);
    drop(cluster);
    eventually("every process is gone", || !is_running(&directory.path().display().to_string()));
}

#[test]
fn killing_the_owner_removes_a_throwaway_cluster() {
    let directory = passable_directory();
    let command = again(&this_program(), "parent_death::holder_of_a_throwaway_cluster", directory.path());
    let (mut owner, said) = start_until_ready(command, directory.path());
    let (data_dir, url) = said.split_once('\n').unwrap();
    assert_eq!(ask(url, "SELECT 1").unwrap(), ["1"]);
    assert!(std::path::Path::new(data_dir).exists());
    owner.kill().unwrap();
    owner.wait().unwrap();
    eventually("the directory is gone", || !std::path::Path::new(data_dir).exists());
    eventually("every process is gone", || !is_running(data_dir));
}

#[test]
fn ctrl_c_reaches_the_service_only() {
    use std::os::unix::process::{CommandExt, ExitStatusExt};
    let directory = passable_directory();
    // `sh` ignores the signal and hands that on, so the service survives its own Ctrl-C as one that handles
    // the signal would; the group is made as a terminal makes it.
    let program = again(&this_program(), "parent_death::holder_of_a_durable_cluster", directory.path());
    let mut command = Command::new("/bin/sh");
    command.args(["-c", r#"trap '' INT; "$@""#, "sh"]).arg(program.get_program()).args(program.get_args());
    command
        .env(crate::support::ROLE, directory.path())
        .current_dir("/")
        .process_group(0)
        .stdin(Stdio::null());
    let (mut shell, url) = start_until_ready(command, directory.path());
    let signal = |name: &str| {
        let order = format!("kill -s {name} -- -{}", shell.id());
        assert!(Command::new("/bin/sh").args(["-c", &order]).status().unwrap().success());
    };
    signal("INT");
    std::thread::sleep(Duration::from_millis(300));
    assert_eq!(ask(&url, "SELECT 1").unwrap(), ["1"], "the server ended with Ctrl-C");
    signal("KILL");
    assert_eq!(shell.wait().unwrap().signal(), Some(9));
    eventually("every process is gone", || !is_running(&directory.path().display().to_string()));
}
