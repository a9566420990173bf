//! Who gets in: passwords, secrets, keys for machines, and what it takes to be signed in.

pub mod accounts;
pub mod audit;
pub mod external;
pub mod first_run;
pub mod grants;
pub mod machine_keys;
pub mod passwords;
pub mod patience;
pub mod scopes;
pub mod secrets;
pub mod sessions;
