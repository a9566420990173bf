//! Serves the script that keeps the yard's page in the browser, with the list of what it keeps.

use actix_web::http::header::{CACHE_CONTROL, CONTENT_TYPE};
use actix_web::{HttpResponse, get};
use sha2::{Digest, Sha256};

use super::SCRIPTS;
use crate::assets;

/// The worker: its list of addresses first, so that it is another file whenever one of them is another.
#[must_use]
pub fn script() -> String {
    let always = ["desk.css", "mark.svg", "yard-leaving.js"];
    let addresses: Vec<_> = always.iter().chain(SCRIPTS).map(|name| assets::address(name)).collect();
    let list = serde_json::to_string(&addresses).unwrap_or_default();
    let body = assets::find("yard-worker.js").map_or("", |asset| asset.content);
    let version = kernel::hexadecimal(&Sha256::digest(format!("{list}{body}").as_bytes()));
    let version = version.get(..12).unwrap_or_default();
    format!("\"use strict\";\nconst VERSION = \"{version}\";\nconst ASSETS = {list};\n{body}")
}

/// The worker may look after the yard and nothing else of the desk, and is asked for anew at each visit.
#[get("/yard/worker.js")]
pub async fn serve() -> HttpResponse {
    HttpResponse::Ok()
        .insert_header((CONTENT_TYPE, "text/javascript; charset=utf-8"))
        .insert_header(("Service-Worker-Allowed", "/desk/yard"))
        .insert_header((CACHE_CONTROL, "no-cache"))
        .body(script())
}
