//! The end of the story: the mill's clerk has counted turns, and the contractor looks for exceptions.

use serde_json::{Value, json};
use tests::Actor;

use super::recorder::Recorder;

/// Plays it.
pub fn play(recorder: &mut Recorder, bookkeeper: &Actor, contractor: &Actor, job: &Value, mill: &Value) {
    let count = json!({"job_id": job, "counted_on": "2026-06-03", "party": {"mill_id": mill}, "turns": 3,
                       "counted_by": "Clerk of the mill"});
    let _filed = recorder.shown("file_turn_count", bookkeeper, "/v1/turn-counts", Some(count));
    let day = "/v1/turn-counts?from=2026-06-03&to=2026-06-03";
    let _listed = recorder.shown("list_turn_counts", contractor, day, None);
    let june = "from=2026-06-01&to=2026-06-13";
    let list = format!("/v1/audit/exceptions?{june}");
    let _listed = recorder.shown("list_exceptions", contractor, &list, None);
    let summary = format!("/v1/audit/exceptions-by-kind?{june}");
    let _summed = recorder.shown("summarize_exceptions", contractor, &summary, None);
}
