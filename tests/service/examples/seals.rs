//! The contractor keeps what was sealed with the week, and later has it proven that nothing was changed.

use serde_json::json;
use tests::Actor;

use super::recorder::Recorder;

/// Seals the books again, and proves what can be proven.
pub fn seal(recorder: &mut Recorder, bookkeeper: &Actor, contractor: &Actor) {
    let id = |seal: &serde_json::Value| seal["statement"]["seal_id"].as_str().expect("an id").to_owned();
    let made = recorder.shown("make_seal", bookkeeper, "/v1/seals", Some(json!({})));
    let listed = recorder.shown("list_seals", contractor, "/v1/seals", None);
    let (kept, later) = (id(&listed["items"][0]), id(&made));
    let _shown = recorder.shown("show_seal", contractor, &format!("/v1/seals/{kept}"), None);
    let tickets = contractor.get("/v1/tickets?limit=1").expect(200);
    let ticket = tickets["items"][0]["ticket_id"].as_str().expect("an id");
    let proof = format!("/v1/seals/{later}/inclusion?ticket_id={ticket}");
    let _proof = recorder.shown("show_seal_inclusion", contractor, &proof, None);
    let proof = format!("/v1/seals/{later}/consistency?from={kept}");
    let _proof = recorder.shown("show_seal_consistency", contractor, &proof, None);
    let records = format!("/v1/seals/{later}/records?limit=2");
    recorder.shown_as_text("export_sealed_records", contractor, &records, "ndjson");
    let _checked = recorder.shown("check_seal", contractor, &format!("/v1/seals/{later}/check"), None);
    let _keys = recorder.shown("list_seal_keys", contractor, "/v1/seal-keys", None);
}
