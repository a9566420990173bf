//! A bare HTTP connection: what is measured is the service, so whoever asks takes as little of the machine as can be.

use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::{SocketAddr, TcpStream};

use anyhow::{Context as _, Result, bail};

/// A connection that is kept between requests.
pub struct Connection {
    stream: BufReader<TcpStream>,
    body: Vec<u8>,
}

impl Connection {
    /// Connects.
    pub fn open(address: SocketAddr) -> Result<Self> {
        let stream = TcpStream::connect(address)?;
        stream.set_nodelay(true)?;
        Ok(Self { stream: BufReader::new(stream), body: Vec::new() })
    }

    /// Sends a request that was written beforehand, and reads the answer to its end: its status.
    pub fn ask(&mut self, request: &[u8]) -> Result<u16> {
        self.stream.get_mut().write_all(request)?;
        let mut line = String::new();
        self.stream.read_line(&mut line)?;
        let status = line.split(' ').nth(1).context("the answer has no status")?.parse()?;
        let mut length = None;
        loop {
            line.clear();
            self.stream.read_line(&mut line)?;
            let Some((name, value)) = line.trim_end().split_once(':') else { break };
            if name.eq_ignore_ascii_case("content-length") {
                length = Some(value.trim().parse::<usize>()?);
            }
        }
        let Some(length) = length else { bail!("the answer does not say how long it is") };
        self.body.resize(length, 0);
        self.stream.read_exact(&mut self.body)?;
        Ok(status)
    }

    /// The body of the last answer.
    pub fn body(&self) -> &[u8] {
        &self.body
    }
}

/// A request as it goes over the wire.
pub fn post(path: &str, token: &str, content_type: &str, body: &[u8]) -> Vec<u8> {
    let head = format!(
        "POST {path} HTTP/1.1\r\nHost: 127.0.0.1\r\nAuthorization: Bearer {token}\r\nContent-Type: {content_type}\r\n\
         Content-Length: {}\r\n\r\n",
        body.len()
    );
    [head.as_bytes(), body].concat()
}
