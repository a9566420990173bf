//! Contracts at the desk: read, filed, amended with a preview; nothing of terms is ever lost by the form.

mod amending;
mod filing;
mod round_trip;
