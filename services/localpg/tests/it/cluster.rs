//! A durable cluster: made, stopped, opened again, and refused where it must be.

use std::fs::{self, Permissions};
use std::os::unix::fs::{MetadataExt, PermissionsExt};
use std::path::Path;

use crate::support::{again, ask, given_directory, is_root, is_running, open, passable_directory, succeeded};
use localpg::Error;

/// The whole life of a cluster in `data_dir`.
fn live(data_dir: &Path) {
    let cluster = open(data_dir).unwrap();
    ask(&cluster.url(), "CREATE TABLE log (id int); INSERT INTO log VALUES (7)").unwrap();
    let address = cluster.url();
    cluster.stop().unwrap();
    assert!(ask(&address, "SELECT 1").is_err(), "the server still answers");
    assert!(!is_running(&format!("{}/postgres ", data_dir.display())), "a process is left");

    let cluster = open(data_dir).unwrap();
    assert_eq!(ask(&cluster.url(), "SELECT id FROM log").unwrap(), ["7"]);
    let settings = "SELECT concat_ws(' ', current_setting('fsync'), current_setting('server_encoding'), \
                    current_setting('listen_addresses'), current_setting('TimeZone'))";
    assert_eq!(ask(&cluster.url(), settings).unwrap(), ["on UTF8  GMT"]);
    drop(cluster);
    assert!(!is_running(&format!("{}/postgres ", data_dir.display())), "dropping left a process");
}

#[test]
fn data_is_found_again() {
    let directory = passable_directory();
    live(&directory.path().join("data"));
}

#[test]
fn an_ordinary_user_has_one_too() {
    if let Some(directory) = given_directory() {
        return live(&directory.join("data"));
    }
    let has_setpriv = std::process::Command::new("setpriv").arg("--version").output().is_ok();
    if !is_root() || !has_setpriv {
        return;
    }
    // The program itself may lie where that user cannot come.
    let directory = passable_directory();
    let copy = directory.path().join("program");
    fs::copy(std::env::current_exe().unwrap(), &copy).unwrap();
    fs::set_permissions(directory.path(), Permissions::from_mode(0o777)).unwrap();
    let mut command = std::process::Command::new("setpriv");
    command.args(["--reuid=65534", "--regid=65534", "--clear-groups"]).arg(&copy);
    let program = again(&copy, "cluster::an_ordinary_user_has_one_too", directory.path());
    command.args(program.get_args()).env(crate::support::ROLE, directory.path()).current_dir("/");
    assert!(succeeded(&command.output().unwrap()));
    let cluster = fs::metadata(directory.path().join("data/postgres")).unwrap();
    assert_eq!(cluster.uid(), 65534);
}

#[test]
fn a_long_path_is_no_obstacle() {
    let directory = passable_directory();
    let data_dir = directory.path().join("long, \"odd\" and 'quoted' ".repeat(6));
    let cluster = open(&data_dir).unwrap();
    let config: tokio_postgres::Config = cluster.url().parse().unwrap();
    let [tokio_postgres::config::Host::Unix(socket)] = config.get_hosts() else { panic!("no socket") };
    assert!(!socket.starts_with(&data_dir) && socket.exists());
    assert_eq!(ask(&cluster.url(), "SELECT 1").unwrap(), ["1"]);
    let socket = socket.clone();
    cluster.stop().unwrap();
    assert!(!socket.exists(), "the socket's directory was left behind");
}

#[test]
fn one_directory_has_one_service() {
    let directory = passable_directory();
    let data_dir = directory.path().join("data");
    let cluster = open(&data_dir).unwrap();
    let error = open(&data_dir).unwrap_err();
    assert!(matches!(error, Error::InUse { .. }));
    assert!(error.to_string().contains(&format!("(process {})", std::process::id())), "{error}");
    assert_eq!(ask(&cluster.url(), "SELECT 1").unwrap(), ["1"]);
}

#[test]
fn only_the_service_gets_in_and_without_privileges() {
    let directory = passable_directory();
    let cluster = open(&directory.path().join("data")).unwrap();
    let privileges = "SELECT concat_ws(' ', rolname, rolsuper) FROM pg_roles WHERE rolname = current_user";
    assert_eq!(ask(&cluster.url(), privileges).unwrap(), ["skidway f"]);
    let owner = cluster.url().replacen("//skidway:", "//postgres:", 1);
    let refused = ask(&owner, "SELECT 1").unwrap_err();
    assert!(refused.as_db_error().unwrap().message().contains("pg_hba.conf"));
    let config: tokio_postgres::Config = cluster.url().parse().unwrap();
    let password = String::from_utf8(config.get_password().unwrap().to_vec()).unwrap();
    let refused = ask(&cluster.url().replace(&password, "guessed"), "SELECT 1").unwrap_err();
    assert_eq!(refused.code(), Some(&tokio_postgres::error::SqlState::INVALID_PASSWORD));

    assert!(!format!("{cluster:?}").contains(&password));
    let mode = |name: &str| fs::metadata(cluster.data_dir().join(name)).unwrap().permissions().mode() & 0o777;
    assert_eq!([mode("postgres"), mode("postgres.socket"), mode("postgres.password")], [0o700, 0o700, 0o600]);
    let log = fs::read_to_string(cluster.data_dir().join("postgres.log")).unwrap();
    assert!(!log.contains(&password), "the log tells the password");
}

#[test]
fn a_lost_password_is_replaced() {
    let directory = passable_directory();
    let data_dir = directory.path().join("data");
    let cluster = open(&data_dir).unwrap();
    let before = cluster.url();
    cluster.stop().unwrap();
    fs::remove_file(data_dir.join("postgres.password")).unwrap();
    let cluster = open(&data_dir).unwrap();
    assert_ne!(cluster.url(), before);
    assert_eq!(ask(&cluster.url(), "SELECT 1").unwrap(), ["1"]);
    assert!(ask(&before, "SELECT 1").is_err());
}

#[test]
fn a_foreign_process_number_does_not_keep_the_server_down() {
    let directory = passable_directory();
    let data_dir = directory.path().join("data");
    open(&data_dir).unwrap().stop().unwrap();
    // As after a loss of power, when the number now belongs to another program: here, to this one.
    let stale = format!("{}\n{}\n0\n5432\n", std::process::id(), data_dir.join("postgres").display());
    fs::write(data_dir.join("postgres/postmaster.pid"), stale).unwrap();
    let cluster = open(&data_dir).unwrap();
    assert_eq!(ask(&cluster.url(), "SELECT 1").unwrap(), ["1"]);
}

#[test]
fn an_interrupted_making_starts_over() {
    let directory = passable_directory();
    let data_dir = directory.path().join("data");
    fs::create_dir_all(data_dir.join("postgres.unfinished/base")).unwrap();
    let cluster = open(&data_dir).unwrap();
    assert_eq!(ask(&cluster.url(), "SELECT 1").unwrap(), ["1"]);
    assert!(!data_dir.join("postgres.unfinished").exists());
}

#[test]
fn data_of_another_version_is_refused() {
    let directory = passable_directory();
    let data_dir = directory.path().join("data");
    open(&data_dir).unwrap().stop().unwrap();
    fs::write(data_dir.join("postgres/PG_VERSION"), "9.6\n").unwrap();
    let error = open(&data_dir).unwrap_err();
    assert!(matches!(&error, Error::WrongVersion { made_by, .. } if made_by == "9.6"), "{error}");
}

#[test]
fn a_failed_start_shows_the_log() {
    let directory = passable_directory();
    let data_dir = directory.path().join("data");
    open(&data_dir).unwrap().stop().unwrap();
    fs::write(data_dir.join("postgres/postgresql.conf"), "no_such_setting = 1\n").unwrap();
    let error = open(&data_dir).unwrap_err();
    assert!(matches!(error, Error::Start { .. }));
    assert!(error.to_string().contains("no_such_setting"), "{error}");
}

#[test]
fn a_closed_directory_is_named() {
    if !is_root() {
        return;
    }
    let directory = passable_directory();
    fs::set_permissions(directory.path(), Permissions::from_mode(0o700)).unwrap();
    let error = open(&directory.path().join("data")).unwrap_err();
    assert!(matches!(error, Error::Unreachable { .. }), "{error}");
    assert!(error.to_string().contains("SKIDWAY_DATA_DIR"));
}
