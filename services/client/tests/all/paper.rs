//! `skid paper`: bytes as the service sent them, to a file or on.

use wire::Code;

use crate::posting::{out, skid};
use crate::server::{Reply, Server};

const ID: &str = "0197a000-0000-7000-8000-000000000051";

fn answer(text: &str) -> Server {
    Server::new(vec![Reply::Answer(200, "", text.to_owned())])
}

#[test]
fn each_paper_is_asked_for_in_its_form() {
    let crew = format!("/v1/settlements/{ID}/crews/{ID}");
    for (words, line) in [
        (&["ticket", ID][..], format!("/v1/tickets/{ID}?format=pdf&paper=letter")),
        (&["statement", ID, "--paper", "a4"], format!("/v1/statements/{ID}?format=pdf&paper=a4")),
        (&["crew", ID, ID, "--format", "html"], format!("{crew}?format=html")),
        (
            &["report", "--from", "2031-06-01", "--to", "2031-06-07"],
            "/v1/reports/audit?from=2031-06-01&to=2031-06-07&format=pdf&paper=letter".to_owned(),
        ),
        (&["ticket", ID, "--json"], format!("/v1/tickets/{ID}?format=json")),
    ] {
        let server = answer("as it came");
        let words: Vec<_> = ["paper"].iter().chain(words).copied().collect();
        let output = skid(&server.address, &words, "");
        assert_eq!(output.status.code(), Some(0), "{output:?}");
        assert_eq!(out(&output).trim_end(), "as it came");
        assert_eq!(server.lines(), [format!("GET {line}")]);
    }
}

#[test]
fn it_is_written_to_a_file_and_a_refusal_leaves_the_file_alone() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("paper.pdf");
    let words = ["paper", "statement", ID, "--out", file.to_str().unwrap()];
    let output = skid(&answer("%PDF-1.7").address, &words, "");
    assert_eq!((output.status.code(), out(&output).as_str()), (Some(0), ""));
    assert_eq!(std::fs::read_to_string(&file).unwrap(), "%PDF-1.7");
    let refused = Server::new(vec![Reply::problem(Code::NotFound)]);
    let output = skid(&refused.address, &words, "");
    assert_eq!(output.status.code(), Some(3), "{output:?}");
    assert_eq!(std::fs::read_to_string(&file).unwrap(), "%PDF-1.7");
}
