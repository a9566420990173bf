//! The client from outside: the program as it is run, and the library against a service made of a socket.

#[cfg(test)]
mod check_scales;
#[cfg(test)]
mod events;
#[cfg(test)]
mod exceptions;
#[cfg(test)]
mod golden;
#[cfg(test)]
mod http;
#[cfg(test)]
mod journal;
#[cfg(test)]
mod operations;
#[cfg(test)]
mod outside;
#[cfg(test)]
mod paper;
#[cfg(test)]
mod papers;
#[cfg(test)]
mod posting;
#[cfg(test)]
mod scale;
#[cfg(test)]
mod seals;
#[cfg(test)]
mod server;
#[cfg(test)]
mod settling;
#[cfg(test)]
mod showing;
