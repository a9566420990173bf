//! The yard fetches how the job's contracts have timber scaled, for where there is no signal.

use serde_json::Value;
use tests::Actor;

use super::recorder::Recorder;

/// Plays it.
pub fn play(recorder: &mut Recorder, scaler: &Actor, job: &Value) {
    let path = format!("/v1/jobs/{}/practices?on=2026-06-13", job.as_str().expect("an id"));
    let _listed = recorder.shown("list_practices", scaler, &path, None);
}
