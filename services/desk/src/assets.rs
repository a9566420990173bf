//! What pages are made of beside themselves: style, scripts, the mark. Served under a name that changes with the content,
//! so a browser keeps them for good.

use actix_web::http::header::CACHE_CONTROL;
use actix_web::web::Path;
use actix_web::{HttpResponse, get};
use sha2::{Digest, Sha256};

use crate::trouble::Trouble;

/// A file that is served.
#[derive(Debug)]
pub struct Asset {
    /// Its name.
    pub name: &'static str,
    /// Its media type.
    pub media_type: &'static str,
    /// Its content.
    pub content: &'static str,
}

/// All of them.
pub static ASSETS: &[Asset] = &[
    Asset {
        name: "desk.css",
        media_type: "text/css; charset=utf-8",
        content: include_str!("../assets/desk.css"),
    },
    Asset { name: "mark.svg", media_type: "image/svg+xml", content: include_str!("../assets/mark.svg") },
    script("yard-store.js", include_str!("../assets/yard-store.js")),
    script("yard-fields.js", include_str!("../assets/yard-fields.js")),
    script("yard-scale.js", include_str!("../assets/yard-scale.js")),
    script("yard-queue.js", include_str!("../assets/yard-queue.js")),
    script("yard-entry.js", include_str!("../assets/yard-entry.js")),
    script("yard-leaving.js", include_str!("../assets/yard-leaving.js")),
    script("yard-worker.js", include_str!("../assets/yard-worker.js")),
];

const fn script(name: &'static str, content: &'static str) -> Asset {
    Asset { name, media_type: "text/javascript; charset=utf-8", content }
}

/// The file of a name.
#[must_use]
pub fn find(name: &str) -> Option<&'static Asset> {
    ASSETS.iter().find(|asset| asset.name == name)
}

/// The address of a file; it is another one when the content is.
///
/// ```
/// let address = desk::assets::address("desk.css");
/// assert!(address.starts_with("/desk/assets/") && address.ends_with("/desk.css"));
/// ```
#[must_use]
pub fn address(name: &str) -> String {
    let content = find(name).map_or("", |asset| asset.content);
    let digest = kernel::hexadecimal(&Sha256::digest(content.as_bytes()));
    format!("/desk/assets/{}/{name}", digest.get(..12).unwrap_or_default())
}

/// Serves a file.
///
/// # Errors
///
/// [`Trouble::NoSuchPage`] when there is none of this name and content.
#[get("/assets/{version}/{name}")]
pub async fn serve(path: Path<(String, String)>) -> Result<HttpResponse, Trouble> {
    let (version, name) = path.into_inner();
    let asset =
        find(&name).filter(|asset| address(asset.name).contains(&version)).ok_or(Trouble::NoSuchPage)?;
    Ok(HttpResponse::Ok()
        .content_type(asset.media_type)
        .insert_header((CACHE_CONTROL, "public, max-age=31536000, immutable"))
        .body(asset.content))
}
