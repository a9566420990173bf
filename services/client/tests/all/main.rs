//! The client from outside: the program as it is run, and the library against a service made of a socket.

mod golden;
mod http;
mod operations;
mod papers;
mod posting;
mod scale;
mod server;
mod settling;
