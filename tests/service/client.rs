//! The typed client and the API document know the same operations.

use std::collections::BTreeSet;

#[test]
fn the_client_has_every_operation_and_no_other() {
    let served: BTreeSet<_> = api::routes::OPERATIONS.iter().map(|operation| operation.id).collect();
    let known: BTreeSet<_> = client::OPERATIONS.iter().copied().collect();
    assert_eq!(known, served);
    assert_eq!(client::OPERATIONS.len(), known.len(), "an operation is listed twice");
}
