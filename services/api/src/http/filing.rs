//! Changes on their way into the books: each is done once however often it is sent, leaves one audit entry, or is only
//! rehearsed.

use std::future::{Ready, ready};

use actix_web::dev::Payload;
use actix_web::http::StatusCode;
use actix_web::{FromRequest, HttpMessage, HttpRequest, HttpResponse};
use kernel::{AuditEntryId, Id};
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use storage::{AuditEntry, Books, RequestKey, Stamp, StoredReply};
use tracing_actix_web::RequestId;
use uuid::Uuid;
use wire::{Code, Role};

use super::body::BodyFingerprint;
use super::caller::{Caller, Member};
use super::operation::{Effect, Operation};
use super::refusal::Refusal;
use super::{matched, query};
use crate::service::Service;

/// The header that carries the key (the IETF's draft of the Idempotency-Key header field).
pub const KEY_HEADER: &str = "Idempotency-Key";
/// The longest key.
const LONGEST_KEY: usize = 255;

/// How a change is to be made.
#[derive(Debug)]
pub struct Filing {
    request: HttpRequest,
    operation: &'static Operation,
    key: Option<String>,
    rehearsal: bool,
}

/// What a change left in the books, and what the caller is shown of it.
#[derive(Debug)]
pub struct Kept<T> {
    view: T,
    /// The record it is about; none when everything was there before.
    about: Option<Uuid>,
    /// The audit entry, where it was made together with the record.
    entry: Option<AuditEntryId>,
    secret: bool,
}

impl<T> Kept<T> {
    /// Something new in the books.
    pub fn new(about: impl Id, view: T) -> Self {
        Self { view, about: Some(about.uuid()), entry: None, secret: false }
    }

    /// Something that was there before, as it was; nothing has changed.
    pub fn before(view: T) -> Self {
        Self { view, about: None, entry: None, secret: false }
    }

    /// New or there before.
    pub fn new_if(new: bool, about: impl Id, view: T) -> Self {
        if new { Self::new(about, view) } else { Self::before(view) }
    }

    /// Something new in the books whose audit entry is there already.
    pub fn entered(entry: &AuditEntry, view: T) -> Self {
        Self { view, about: Some(entry.about), entry: Some(entry.id), secret: false }
    }

    /// The same, showing a secret: a repeat of the request is not shown it again.
    #[must_use]
    pub fn with_secret(self) -> Self {
        Self { secret: true, ..self }
    }
}

/// Who makes a change.
#[derive(Debug)]
struct Author {
    subject: String,
    role: Role,
}

/// What most tickets have room in, as they are answered: the buffer does not grow bit by bit then.
const A_TICKET: usize = 16 * 1024;

/// What is answered.
struct Said {
    status: StatusCode,
    body: String,
    mark: Option<&'static str>,
}

impl Said {
    fn new(view: &impl Serialize, status: StatusCode, mark: Option<&'static str>) -> Result<Self, Refusal> {
        let mut body = Vec::with_capacity(A_TICKET);
        serde_json::to_writer(&mut body, view).map_err(Refusal::internal)?;
        Ok(Self { status, body: String::from_utf8(body).map_err(Refusal::internal)?, mark })
    }

    fn answer(self) -> HttpResponse {
        let mut response = HttpResponse::build(self.status);
        if let Some(mark) = self.mark {
            response.insert_header((mark, "true"));
        }
        response.insert_header(("Cache-Control", "no-store")).content_type("application/json").body(self.body)
    }
}

/// The mark of an answer to something that had been done before.
const REPLAYED: &str = "Replayed";
/// The mark of an answer to something that was only rehearsed.
const DRY_RUN: &str = "Dry-Run";

impl Filing {
    /// Makes a change in the books of the caller's outfit, and answers with what was kept: 201 for something new, 200
    /// and `Replayed` for what had been done before, 200 and `Dry-Run` for a rehearsal.
    ///
    /// # Errors
    ///
    /// What `work` answers; [`Code::KeyUsedOtherwise`], [`Code::RequestInProgress`] or [`Code::SecretShownOnce`] for
    /// the key that came with it.
    pub async fn keep<T: Serialize>(
        &self,
        service: &Service,
        member: &Member,
        work: impl AsyncFnOnce(&mut Books) -> Result<Kept<T>, Refusal>,
    ) -> Result<HttpResponse, Refusal> {
        let author = Author { subject: member.subject.clone(), role: member.role };
        let said = if self.rehearsal {
            service.rehearse(member, async |books| rehearsed(work(books).await?)).await?
        } else {
            service.write(member, async |books| self.once(books, service, &author, work).await).await?
        };
        Ok(said.answer())
    }

    /// The same in books that are only being opened. The id of the outfit is made from the key, so that the same
    /// request finds the books that it opened before.
    ///
    /// # Errors
    ///
    /// As [`Filing::keep`].
    pub async fn open<T: Serialize>(
        &self,
        service: &Service,
        caller: &Caller,
        work: impl AsyncFnOnce(&mut Books) -> Result<Kept<T>, Refusal>,
    ) -> Result<HttpResponse, Refusal> {
        let author = Author { subject: caller.subject().to_owned(), role: caller.role() };
        let outfit = match &self.key {
            Some(key) => {
                let named = format!("{}\n{}\n{key}", self.operation.id, author.subject);
                let [bytes @ .., _, _, _, _, _, _, _, _, _, _, _, _, _, _, _, _]: [u8; 32] =
                    Sha256::digest(named).into();
                kernel::OutfitId::from_uuid(uuid::Builder::from_custom_bytes(bytes).into_uuid())
            }
            None => service.ids.make(),
        };
        let said = if self.rehearsal {
            service.store.rehearse(outfit, async |books| rehearsed(work(books).await?)).await?
        } else {
            service.store.write(outfit, async |books| self.once(books, service, &author, work).await).await?
        };
        Ok(said.answer())
    }

    /// What is answered to a change that is in the books already, and was sent without a key.
    ///
    /// # Errors
    ///
    /// [`Code::Internal`] when it has no JSON form.
    pub fn answer<T: Serialize>(kept: &Kept<T>) -> Result<HttpResponse, Refusal> {
        said(kept).map(Said::answer)
    }

    async fn once<T: Serialize>(
        &self,
        books: &mut Books,
        service: &Service,
        author: &Author,
        work: impl AsyncFnOnce(&mut Books) -> Result<Kept<T>, Refusal>,
    ) -> Result<Said, Refusal> {
        let key = self.key.clone().map(|key| RequestKey {
            made_by: author.subject.clone(),
            operation: self.operation.id.to_owned(),
            key,
        });
        let fingerprint = self.fingerprint();
        if let Some(key) = &key
            && let Some(body) = replay(books, key, &fingerprint).await?
        {
            return Ok(Said { status: StatusCode::OK, body, mark: Some(REPLAYED) });
        }
        let kept = work(books).await?;
        let said = said(&kept)?;
        let Some(about) = kept.about else { return Ok(said) };
        let entry = match kept.entry {
            Some(entry) => entry,
            None => {
                let entry = self.mark().entry(service, author, about);
                books.enter_audit(&entry).await?;
                entry.id
            }
        };
        if let Some(key) = &key {
            let reply = (!kept.secret).then(|| said.body.clone());
            books.add_stored_reply(key, &StoredReply { fingerprint, reply, entry }).await?;
        }
        Ok(said)
    }

    /// SHA-256 of what is asked: the path, and what was understood of the body.
    fn fingerprint(&self) -> [u8; 32] {
        let mut hash = Sha256::new();
        hash.update(self.request.path());
        hash.update([0]);
        if let Some(body) = self.request.extensions().get::<BodyFingerprint>() {
            hash.update(body.0);
        }
        hash.finalize().into()
    }

    /// What the audit entries of this request carry.
    #[must_use]
    pub fn mark(&self) -> AuditMark {
        let request = self.request.extensions().get::<RequestId>().map(|id| **id);
        AuditMark { operation: self.operation.id, request }
    }

    /// Whether nothing is to be kept.
    #[must_use]
    pub const fn is_rehearsal(&self) -> bool {
        self.rehearsal
    }
}

/// What every audit entry of one request carries.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct AuditMark {
    operation: &'static str,
    request: Option<Uuid>,
}

impl AuditMark {
    /// What is written down about one of the changes that a member's request makes.
    #[must_use]
    pub fn of(self, service: &Service, member: &Member, about: impl Id) -> AuditEntry {
        let author = Author { subject: member.subject.clone(), role: member.role };
        self.entry(service, &author, about.uuid())
    }

    fn entry(self, service: &Service, author: &Author, about: Uuid) -> AuditEntry {
        AuditEntry {
            id: service.ids.make(),
            made: Stamp { at: service.clock.now(), by: author.subject.clone() },
            role: author.role.name().to_owned(),
            operation: self.operation.to_owned(),
            about,
            request: self.request,
        }
    }
}

/// What is answered: 201 for something new, 200 and `Replayed` for what was there before.
fn said<T: Serialize>(kept: &Kept<T>) -> Result<Said, Refusal> {
    match kept.about {
        Some(_) => Said::new(&kept.view, StatusCode::CREATED, None),
        None => Said::new(&kept.view, StatusCode::OK, Some(REPLAYED)),
    }
}

fn rehearsed<T: Serialize>(kept: Kept<T>) -> Result<Said, Refusal> {
    Said::new(&kept.view, StatusCode::OK, Some(DRY_RUN))
}

/// The answer that the request with this key was given, if it was done before.
async fn replay(
    books: &mut Books,
    key: &RequestKey,
    fingerprint: &[u8; 32],
) -> Result<Option<String>, Refusal> {
    if !books.hold_key(key).await? {
        let detail = "a request with this key is being worked on at this moment";
        return Err(Refusal::new(Code::RequestInProgress, detail));
    }
    let Some(stored) = books.stored_reply(key).await? else { return Ok(None) };
    if stored.fingerprint != *fingerprint {
        let detail = format!("the key \"{}\" came with another request before", key.key);
        return Err(Refusal::new(Code::KeyUsedOtherwise, detail));
    }
    stored.reply.map(Some).ok_or_else(|| {
        let detail = "it was done before, and the secret in the reply was shown then";
        Refusal::new(Code::SecretShownOnce, detail)
    })
}

/// What may stand in the query of a change.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct FilingQuery {
    #[serde(default)]
    dry_run: bool,
}

impl FromRequest for Filing {
    type Error = Refusal;
    type Future = Ready<Result<Self, Refusal>>;

    fn from_request(request: &HttpRequest, _: &mut Payload) -> Self::Future {
        ready(filing(request))
    }
}

fn filing(request: &HttpRequest) -> Result<Filing, Refusal> {
    let operation = matched::operation(request)
        .ok_or_else(|| Refusal::internal("a change is made at a path that is no operation"))?;
    let query: FilingQuery = query::read(request.query_string())?;
    let keyed = operation.effect == Effect::Keyed && !query.dry_run;
    let key = if keyed { Some(key(request)?) } else { None };
    Ok(Filing { request: request.clone(), operation, key, rehearsal: query.dry_run })
}

fn key(request: &HttpRequest) -> Result<String, Refusal> {
    let mut sent = request.headers().get_all(KEY_HEADER);
    let Some(header) = sent.next() else {
        return Err(Refusal::new(Code::KeyMissing, "the request has no Idempotency-Key header"));
    };
    let header = header.to_str().ok().filter(|_| sent.next().is_none());
    header.and_then(string_item).filter(|key| (1..=LONGEST_KEY).contains(&key.len())).ok_or_else(|| {
        let detail = format!(
            "the header {KEY_HEADER} is not one text of 1 to {LONGEST_KEY} characters in double quotes, such as \
             \"8e03978e-40d5-43e8-bc93-6894a57f9324\""
        );
        Refusal::new(Code::KeyMissing, detail)
    })
}

/// Reads a String item of structured fields (RFC 9651, section 4.2.5) without parameters.
fn string_item(text: &str) -> Option<String> {
    let inside = text.trim_matches(' ').strip_prefix('"')?;
    let mut read = String::new();
    let mut letters = inside.chars();
    loop {
        match letters.next()? {
            '"' => return letters.next().is_none().then_some(read),
            '\\' => read.push(letters.next().filter(|letter| matches!(letter, '"' | '\\'))?),
            letter @ ' '..='~' => read.push(letter),
            _ => return None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The first two are the values that the draft of the header field publishes; the others follow from the grammar
    /// of RFC 9651, section 3.3.3.
    #[test]
    fn keys_are_strings_of_structured_fields() {
        let truth = [
            (r#""8e03978e-40d5-43e8-bc93-6894a57f9324""#, Some("8e03978e-40d5-43e8-bc93-6894a57f9324")),
            (r#""clkyoesmbgybucifusbbtdsbohtyuuwz""#, Some("clkyoesmbgybucifusbbtdsbohtyuuwz")),
            (r#"  "a key"  "#, Some("a key")),
            (r#""a \"quoted\" \\ key""#, Some(r#"a "quoted" \ key"#)),
            (r#""""#, Some("")),
            ("bare", None),
            (r#""open"#, None),
            (r#"'single'"#, None),
            (r#""wrong \escape""#, None),
            (r#""two""items""#, None),
            (r#""item";parameter"#, None),
            ("\"tab\there\"", None),
            ("\"naïve\"", None),
        ];
        for (text, read) in truth {
            assert_eq!(string_item(text).as_deref(), read, "{text}");
        }
    }
}
