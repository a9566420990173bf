//! A signal that comes and goes, between a telephone and the service: connections fail, and answers are lost after the
//! service has done what was asked.

use std::io::{Read, Write};
use std::net::{Shutdown, SocketAddr, TcpListener, TcpStream};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::thread;

/// The signal.
pub struct Signal {
    /// Where the telephone calls.
    pub address: SocketAddr,
    is_there: Arc<AtomicBool>,
    /// One answer in so many is lost; 0: none.
    loses: Arc<AtomicU64>,
}

impl Signal {
    /// A signal to this service, there at first.
    pub fn to(service: SocketAddr) -> Self {
        let listener = TcpListener::bind("127.0.0.1:0").expect("a port is free");
        let address = listener.local_addr().expect("it was bound");
        let is_there = Arc::new(AtomicBool::new(true));
        let loses = Arc::new(AtomicU64::new(0));
        let (there, losing) = (is_there.clone(), loses.clone());
        thread::spawn(move || {
            for (count, caller) in (1_u64..).zip(listener.incoming()) {
                let (Ok(caller), true) = (caller, there.load(Ordering::SeqCst)) else { continue };
                let every = losing.load(Ordering::SeqCst);
                let is_lost = every > 0 && count % every == 0;
                let Ok(called) = TcpStream::connect(service) else { continue };
                thread::spawn({
                    let (from, to) = (copy(&caller), copy(&called));
                    move || carry(from, to, false)
                });
                thread::spawn(move || carry(called, caller, is_lost));
            }
        });
        Self { address, is_there, loses }
    }

    /// Lets it come or go; what is under way goes on.
    pub fn set(&self, is_there: bool, loses: u64) {
        self.is_there.store(is_there, Ordering::SeqCst);
        self.loses.store(loses, Ordering::SeqCst);
    }
}

fn copy(stream: &TcpStream) -> TcpStream {
    stream.try_clone().expect("a connection can be shared")
}

/// Carries what is said from one to the other; what is lost is heard and not passed on.
fn carry(mut from: TcpStream, mut to: TcpStream, is_lost: bool) {
    let mut bytes = [0; 16_384];
    while let Ok(count @ 1..) = from.read(&mut bytes) {
        if is_lost || to.write_all(&bytes[..count]).is_err() {
            break;
        }
    }
    let _closed = (from.shutdown(Shutdown::Both), to.shutdown(Shutdown::Both));
}
