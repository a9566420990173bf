//! Traces: a request that belongs to one is answered like any other, whatever its headers say.

use tests::TestApp;

use crate::raw::exchange;

#[test]
fn no_trace_header_does_any_harm() {
    let app = TestApp::start();
    let good = "traceparent: 00-0af7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01";
    let long = format!("tracestate: {}", "a=1,".repeat(1_000));
    let cases: [&[&str]; 6] = [
        &[good],
        &[good, good],
        &[good, "tracestate: rojo=00f067aa0ba902b7,congo=t61rcWkgMzE"],
        &["traceparent: ff-0af7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01"],
        &["traceparent: ", "tracestate: a=1"],
        &[good, &long],
    ];
    for headers in cases {
        assert_eq!(exchange(app.address, "GET /health/live", headers, b"").status, 200, "{headers:?}");
    }
}
