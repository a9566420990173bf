//! Requests as bytes, for what no proper client sends.

use std::io::{Read, Write};
use std::net::{Shutdown, SocketAddr, TcpStream};

use serde_json::Value;

/// What came back.
#[derive(Debug)]
pub struct RawReply {
    /// The status.
    pub status: u16,
    /// The head, with the header names as they came.
    pub head: String,
    /// The body as it came.
    pub text: String,
    /// The body as JSON; null when it is none.
    pub body: Value,
}

impl RawReply {
    /// A header.
    pub fn header(&self, name: &str) -> Option<&str> {
        self.head.lines().find_map(|line| {
            let (known, value) = line.split_once(':')?;
            known.eq_ignore_ascii_case(name).then(|| value.trim())
        })
    }

    /// The code of the problem document.
    pub fn code(&self) -> &str {
        self.body["code"].as_str().unwrap_or_default()
    }
}

/// Sends a request, with the headers as lines, says that nothing more will come, and reads to the end of the
/// connection.
pub fn exchange(address: SocketAddr, first_line: &str, headers: &[&str], body: &[u8]) -> RawReply {
    let mut stream = TcpStream::connect(address).expect("the service listens");
    stream.write_all(&request(address, first_line, headers, body)).expect("the service reads");
    let _closed_already = stream.shutdown(Shutdown::Write);
    let mut answer = Vec::new();
    let _broken_off = stream.read_to_end(&mut answer);
    let answer = String::from_utf8_lossy(&answer).into_owned();
    let (head, body) = answer.split_once("\r\n\r\n").unwrap_or((&answer, ""));
    let status = head.split(' ').nth(1).and_then(|status| status.parse().ok()).unwrap_or(0);
    let json = serde_json::from_str(body).unwrap_or(Value::Null);
    RawReply { status, head: head.to_owned(), text: body.to_owned(), body: json }
}

/// The bytes of a request that asks for the connection to be closed after it.
pub fn request(address: SocketAddr, first_line: &str, headers: &[&str], body: &[u8]) -> Vec<u8> {
    let mut head = format!("{first_line} HTTP/1.1\r\nHost: {address}\r\nConnection: close\r\n");
    for header in headers {
        head.push_str(header);
        head.push_str("\r\n");
    }
    if !body.is_empty() {
        head.push_str(&format!("Content-Length: {}\r\n", body.len()));
    }
    head.push_str("\r\n");
    let mut bytes = head.into_bytes();
    bytes.extend_from_slice(body);
    bytes
}
