//! Books that were kept before anything late was written down: all of them is stated again, once.

use std::fs;
use std::path::Path;

use tests::empty_database;

use crate::migrations::folders;
use crate::session::Session;

/// The migration that brings it.
const NOTED: &str = "note_late_changes";

/// An outfit, in whose transaction this is done.
const OUTFIT: &str = "
INSERT INTO outfit (outfit_id, name, currency, time_zone, week_ends_on, made_at, made_by, cut_off_hours)
SELECT current_outfit(), 'Invented outfit', 'USD', 'UTC', 6, now(), 'test', 0";

/// Two weeks that it posted, the later one under the smaller id.
const POSTED: &str = "
INSERT INTO settlement
    (outfit_id, settlement_id, week_ends_on, lines, pays, volumes, fingerprint, drafted_at, drafted_by)
SELECT current_outfit(), id::uuid, week::date, '[]', '[]', '[]', sha256(''), now(), 'test'
FROM (VALUES ('0197a000-0000-7000-8000-000000000011', '2031-06-07'),
             ('0197a000-0000-7000-8000-000000000010', '2031-06-14')) AS made (id, week);
INSERT INTO settlement_posting (outfit_id, settlement_id, week_ends_on, posted_at, posted_by)
SELECT outfit_id, settlement_id, week_ends_on, now(), 'test' FROM settlement";

#[test]
fn books_from_before_are_stated_again_as_a_whole() {
    let database = empty_database();
    let session = Session::owner(&database);
    let up = |folder: &Path| {
        session.run(&fs::read_to_string(folder.join("up.sql")).expect("the file can be read")).expect("up");
    };
    let folders = folders();
    let noted = folders.iter().position(|folder| folder.to_string_lossy().ends_with(NOTED));
    let (before, after) = folders.split_at(noted.expect("the migration is there"));
    before.iter().for_each(|folder| up(folder));
    let outfit = |last: &str| format!("0197a000-0000-7000-8000-00000000000{last}").parse().expect("an id");
    let (settled, new) = (outfit("1"), outfit("2"));
    session.keep(settled, &format!("{OUTFIT}; {POSTED}")).expect("two posted weeks");
    session.keep(new, OUTFIT).expect("an outfit that posted nothing");
    after.iter().for_each(|folder| up(folder));
    let noted = "SELECT concat_ws(' ', settlement_id, from_day, to_day) FROM late_change";
    assert_eq!(
        session.ask(settled, noted).expect("what is noted"),
        [[Some("0197a000-0000-7000-8000-000000000010 0001-01-01 2031-06-14".to_owned())]],
        "the latest posting by its week, whatever its id"
    );
    assert_eq!(session.number_of(new, "SELECT count(*) FROM late_change"), 0);
}
