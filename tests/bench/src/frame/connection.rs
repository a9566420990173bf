//! A bare HTTP connection: what is measured is the service, so whoever asks takes as little of the machine as can be.

use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::{SocketAddr, TcpStream};
use std::thread;

use anyhow::{Context as _, Result, anyhow, bail};

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

/// Sends lines as they are made, in portions, and reads the answer meanwhile; answers with its last line.
pub fn stream(
    address: SocketAddr,
    path: &str,
    token: &str,
    mut portions: impl FnMut() -> Result<Option<Vec<u8>>>,
) -> Result<String> {
    let mut stream = TcpStream::connect(address)?;
    let reading = stream.try_clone()?;
    let reader = thread::spawn(move || last_line(reading));
    let head = format!(
        "POST {path} HTTP/1.1\r\nHost: 127.0.0.1\r\nAuthorization: Bearer {token}\r\n\
         Content-Type: application/x-ndjson\r\nConnection: close\r\nTransfer-Encoding: chunked\r\n\r\n"
    );
    stream.write_all(head.as_bytes())?;
    while let Some(portion) = portions()? {
        stream.write_all(format!("{:x}\r\n", portion.len()).as_bytes())?;
        stream.write_all(&portion)?;
        stream.write_all(b"\r\n")?;
    }
    stream.write_all(b"0\r\n\r\n")?;
    reader.join().map_err(|_| anyhow!("the answer could not be read"))?
}

/// The last line with an outcome in it; all before it is read past.
fn last_line(stream: TcpStream) -> Result<String> {
    let mut last = String::new();
    for line in BufReader::new(stream).lines() {
        let line = line?;
        if line.contains("outcome") {
            last = line;
        }
    }
    Ok(last)
}
