//! Questions about the books that cannot be answered: days that are none, spans turned round, forms nobody knows.

use wire::Code;

use super::Yard;

#[test]
fn queries_about_the_books() {
    let yard = Yard::new();
    let paths = [
        "/v1/audit/margin",
        "/v1/audit/margin?from=2026-06-01",
        "/v1/audit/margin?from=2026-06-02&to=2026-06-01",
        "/v1/audit/margin?from=2026-06-01&to=2026-06-06&job_id=all",
        "/v1/journal?from=2026-06-02&to=2026-06-01",
        "/v1/journal?account=petty_cash",
        "/v1/journal?worker_id=7",
        "/v1/journal?mill_id=",
        "/v1/journal/trial-balance?on=2026-02-30",
        "/v1/journal/trial-balance?from=2026-06-01",
        "/v1/journal/export",
        "/v1/journal/export?format=xml",
        "/v1/journal/export?format=CSV",
        "/v1/journal/export?format=csv&from=2026-06-02&to=2026-06-01",
        "/v1/journal/export?format=text&to=soon",
        "/v1/balances?on=yesterday",
        "/v1/balances?on=-009999-01-01",
    ];
    for path in paths {
        let _problem = yard.refused(Code::WrongAddress, || yard.manager().get(path));
    }
    // What is answered in another form is refused as everything is.
    let reply = yard.manager().get("/v1/journal/export?format=csv");
    assert_eq!(reply.header("content-type"), Some("text/csv; charset=utf-8; header=present"));
    let refused = yard.app.stranger().get("/v1/journal/export?format=csv");
    let _problem = refused.refuses(Code::NoToken);
}
