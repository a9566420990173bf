//! Who gets in: accounts and their passwords, signing in, revocation, keys for machines, keys of tokens.

mod accounts;
mod external;
mod first_run;
mod machine_keys;
mod revocation;
mod sign_in;
mod token_keys;
