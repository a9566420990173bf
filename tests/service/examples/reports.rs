//! The step of the story in which the audit is drawn up as a report.

use tests::Actor;

use super::recorder::Recorder;

/// Draws it up in each of its forms.
pub fn report(recorder: &mut Recorder, contractor: &Actor) {
    let path = "/v1/reports/audit?from=2026-06-01&to=2026-06-13";
    let _report = recorder.shown("report_audit", contractor, path, None);
    for (format, ending) in [("csv", "csv"), ("html", "html")] {
        recorder.shown_as_text("report_audit", contractor, &format!("{path}&format={format}"), ending);
    }
}
