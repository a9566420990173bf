//! Migrations go up, come down, and go up again; once, twice, or by two programs together.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Barrier;

use tests::{empty_database, migrated_database};

use crate::catalogue::{differences, lines};
use crate::session::Session;

/// The folders of the migrations in their order.
pub fn folders() -> Vec<PathBuf> {
    let all = Path::new(env!("CARGO_MANIFEST_DIR")).join("../migrations");
    let mut folders: Vec<_> = fs::read_dir(all)
        .expect("there are migrations")
        .map(|entry| entry.expect("the folder can be read").path())
        .filter(|path| path.is_dir())
        .collect();
    folders.sort();
    folders
}

#[test]
fn all_down_leaves_nothing_and_up_again_is_the_same() {
    let database = empty_database();
    let session = Session::owner(&database);
    let empty = lines(&session);
    let count = folders().len();
    assert_eq!(storage::migrate(&database.url()).expect("up").len(), count);
    let up = lines(&session);
    assert!(up.len() > 200, "the catalogue was not read: {up:#?}");
    assert_eq!(storage::revert_all(&database.url()).expect("down").len(), count);
    let nothing: Vec<String> = Vec::new();
    assert_eq!(differences(&empty, &lines(&session)), nothing);
    assert_eq!(storage::migrate(&database.url()).expect("up again").len(), count);
    assert_eq!(differences(&up, &lines(&session)), nothing);
}

/// Each step by itself, with the files as they lie there: down takes back what its own up did, no more and no less.
#[test]
fn each_down_takes_back_its_own_up() {
    let database = empty_database();
    let session = Session::owner(&database);
    let nothing: Vec<String> = Vec::new();
    for folder in folders() {
        let run = |file: &str| {
            let statements = fs::read_to_string(folder.join(file)).expect("the file can be read");
            session
                .run(&statements)
                .unwrap_or_else(|refused| panic!("{}/{file}: {refused:?}", folder.display()));
            lines(&session)
        };
        let before = lines(&session);
        let up = run("up.sql");
        assert_ne!(before, up, "{} does nothing", folder.display());
        assert_eq!(differences(&before, &run("down.sql")), nothing, "{}", folder.display());
        assert_eq!(differences(&up, &run("up.sql")), nothing, "{}", folder.display());
    }
    assert_eq!(differences(&lines(&session), &lines(&Session::owner(&migrated_database()))), nothing);
}

#[test]
fn applying_twice_changes_nothing() {
    let database = migrated_database();
    let session = Session::owner(&database);
    let once = lines(&session);
    let nothing: Vec<String> = Vec::new();
    assert_eq!(storage::migrate(&database.url()).expect("up to date"), nothing);
    assert_eq!(differences(&once, &lines(&session)), nothing);
}

#[test]
fn programs_that_start_together_migrate_once() {
    let database = empty_database();
    let together = Barrier::new(4);
    let applied: Vec<Vec<String>> = std::thread::scope(|scope| {
        let program = || {
            together.wait();
            storage::migrate(&database.url()).expect("every program succeeds")
        };
        let programs: Vec<_> = (0..4).map(|_| scope.spawn(program)).collect();
        programs.into_iter().map(|program| program.join().expect("every program ends")).collect()
    });
    let mut counts: Vec<_> = applied.iter().map(Vec::len).collect();
    counts.sort_unstable();
    assert_eq!(counts, [0, 0, 0, folders().len()]);
    let expected = lines(&Session::owner(&migrated_database()));
    let nothing: Vec<String> = Vec::new();
    assert_eq!(differences(&expected, &lines(&Session::owner(&database))), nothing);
}

/// The role belongs to the cluster: databases that are migrated together find it made by the other.
#[test]
fn databases_of_one_cluster_migrate_together() {
    let databases = [empty_database(), empty_database(), empty_database()];
    let together = Barrier::new(databases.len());
    std::thread::scope(|scope| {
        for database in &databases {
            let together = &together;
            scope.spawn(move || {
                together.wait();
                let applied = storage::migrate(&database.url()).expect("every database is migrated");
                assert_eq!(applied.len(), folders().len());
            });
        }
    });
}
