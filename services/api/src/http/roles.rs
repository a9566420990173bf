//! Which role may use which operation, as a table for people, made from the operations themselves.

use wire::Role;

use super::operation::{Access, Operation};
use crate::access::scopes;
use crate::routes::OPERATIONS;

/// The roles, in the order of the columns.
const COLUMNS: [Role; 6] =
    [Role::Scaler, Role::Bookkeeper, Role::Contractor, Role::Mill, Role::Manager, Role::Operator];

/// What stands above the table.
const HEAD: &str = "# Who may do what

Made by `cargo run -- roles > openapi/roles.md`; a test fails when it differs from what the service does. A mill sees its
own part only. A machine's key needs the scope in the last column beside its role; where there is none, no key will do.
";

/// The table, in Markdown.
#[must_use]
pub fn table() -> String {
    let mut text = HEAD.to_owned();
    text.push_str("\n| operation | request |");
    COLUMNS.iter().for_each(|role| text.push_str(&format!(" {} |", role.name())));
    text.push_str(" scope |\n|---|---|");
    COLUMNS.iter().for_each(|_| text.push_str(":-:|"));
    text.push_str("---|\n");
    OPERATIONS.iter().for_each(|operation| text.push_str(&row(operation)));
    text
}

fn row(operation: &Operation) -> String {
    let mut row = format!("| `{}` | {} `{}` |", operation.id, operation.method, operation.path);
    match operation.access {
        Access::Open => row.push_str(&" anybody |".repeat(COLUMNS.len())),
        Access::Roles(roles) => {
            for role in COLUMNS {
                row.push_str(if roles.contains(&role) { " yes |" } else { " |" });
            }
        }
    }
    let scope = scopes::of(operation).map(|scope| format!(" `{scope}`")).unwrap_or_default();
    row.push_str(&format!("{scope} |\n"));
    row
}
