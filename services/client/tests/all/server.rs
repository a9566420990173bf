//! A service made of a socket: it gives the answers it was told to give, in order, and remembers what it was asked.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::{TcpListener, TcpStream};
use std::sync::{Arc, Mutex};

use serde_json::Value;

/// What to do with one request.
#[derive(Clone, Debug)]
pub enum Reply {
    /// Answer with a status, further headers and a body.
    Answer(u16, &'static str, String),
    /// Take the request and hang up.
    HangUp,
}

impl Reply {
    /// An answer with a JSON body.
    pub fn json(status: u16, body: Value) -> Self {
        Self::Answer(status, "", body.to_string())
    }

    /// A refusal as the service would write it.
    pub fn problem(code: wire::Code) -> Self {
        let problem = wire::Problem::new(code, "as the test wants it");
        Self::json(problem.status, serde_json::to_value(problem).unwrap())
    }
}

/// A request as it came.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Request {
    /// Method and target: `GET /v1/workers?limit=2`.
    pub line: String,
    /// The headers, their names in lower case.
    pub headers: Vec<(String, String)>,
    /// The body.
    pub body: String,
}

impl Request {
    /// The value of a header.
    pub fn header(&self, name: &str) -> Option<&str> {
        self.headers.iter().find(|(known, _)| known == name).map(|(_, value)| value.as_str())
    }
}

/// The service.
pub struct Server {
    /// Where it is.
    pub address: String,
    requests: Arc<Mutex<Vec<Request>>>,
}

impl Server {
    /// A service that gives these answers in order, and the last one for ever after.
    pub fn new(replies: Vec<Reply>) -> Self {
        let listener = TcpListener::bind("127.0.0.1:0").unwrap();
        let address = format!("http://{}", listener.local_addr().unwrap());
        let requests = Arc::new(Mutex::new(Vec::new()));
        let seen = Arc::clone(&requests);
        std::thread::spawn(move || {
            let mut replies = replies.into_iter().peekable();
            let mut last = Reply::HangUp;
            for stream in listener.incoming() {
                let mut stream = stream.unwrap();
                let Some(request) = read(&stream) else { continue };
                seen.lock().unwrap().push(request);
                last = replies.next().unwrap_or(last);
                answer(&mut stream, &last);
            }
        });
        Self { address, requests }
    }

    /// What it was asked so far.
    pub fn requests(&self) -> Vec<Request> {
        self.requests.lock().unwrap().clone()
    }

    /// The method and target of what it was asked so far.
    pub fn lines(&self) -> Vec<String> {
        self.requests().into_iter().map(|request| request.line).collect()
    }
}

/// An address where nothing listens.
pub fn nobody() -> String {
    let listener = TcpListener::bind("127.0.0.1:0").unwrap();
    format!("http://{}", listener.local_addr().unwrap())
}

fn read(stream: &TcpStream) -> Option<Request> {
    let mut reader = BufReader::new(stream);
    let mut first = String::new();
    reader.read_line(&mut first).ok().filter(|length| *length > 0)?;
    let mut headers = Vec::new();
    loop {
        let mut line = String::new();
        reader.read_line(&mut line).ok()?;
        let Some((name, value)) = line.trim_end().split_once(": ") else { break };
        headers.push((name.to_ascii_lowercase(), value.to_owned()));
    }
    let length = headers.iter().find(|(name, _)| name == "content-length");
    let mut body = vec![0; length.map_or(0, |(_, value)| value.parse().unwrap())];
    reader.read_exact(&mut body).ok()?;
    let line = first.trim_end().trim_end_matches(" HTTP/1.1").to_owned();
    Some(Request { line, headers, body: String::from_utf8(body).unwrap() })
}

fn answer(stream: &mut TcpStream, reply: &Reply) {
    if let Reply::Answer(status, headers, body) = reply {
        let length = body.len();
        let head =
            format!("HTTP/1.1 {status} X\r\n{headers}content-length: {length}\r\nconnection: close\r\n\r\n");
        // A client that was told enough may be gone already.
        let _ = stream.write_all(format!("{head}{body}").as_bytes());
    }
}
