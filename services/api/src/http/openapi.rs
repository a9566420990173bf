//! The API document: gathered from the running router, completed from the operations' declarations.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use serde_json::{Value, json};
use utoipa::openapi::header::Header;
use utoipa::openapi::path::{Operation as PathOperation, Parameter, ParameterBuilder, ParameterIn, PathItem};
use utoipa::openapi::response::{Response, ResponseBuilder};
use utoipa::openapi::schema::{Object, ObjectBuilder, Schema, SchemaType, Type};
use utoipa::openapi::security::{Http, HttpAuthScheme, SecurityRequirement, SecurityScheme};
use utoipa::openapi::tag::TagBuilder;
use utoipa::openapi::{
    Components, Content, ContentBuilder, InfoBuilder, LicenseBuilder, OpenApi, OpenApiBuilder, Ref, RefOr,
    Required,
};
use utoipa::{PartialSchema, ToSchema};
use wire::{Code, Problem};

use super::documenting_reads;
use super::examples::{self, Example};
use super::filing;
use super::operation::{Access, Effect, Operation};
use super::webhooks;
use crate::routes;

const BEARER: &str = "access_token";

/// What the document is about, before the operations are added.
#[must_use]
fn base() -> OpenApi {
    let tag = |name: &str, says: &str| TagBuilder::new().name(name).description(Some(says)).build();
    OpenApiBuilder::new()
        .info(
            InfoBuilder::new()
                .title("Skidway")
                .version("1")
                .description(Some(DESCRIPTION))
                .license(Some(LicenseBuilder::new().name("MIT OR Apache-2.0").build()))
                .build(),
        )
        .tags(Some([
            tag("outfit", "Whose books these are."),
            tag("access", "Who gets in: accounts, signing in, keys for machines, and revoking any of it."),
            tag("people", "Workers, crews, and how crews divide their pay."),
            tag("places", "Jobs, landings and mills."),
            tag("log tables", "The outfit's own log rules, filed as tables."),
            tag("contracts", "How timber is scaled and what is paid."),
            tag("scale", "What a stick would scale, without keeping anything."),
            tag("tickets", "What was measured in the yard, and what became of it."),
            tag("check scales", "Samples that somebody else scales again, and what comes of them."),
            tag("settlements", "The week's pay, its statements, and every line followed down to the sticks."),
            tag(
                "pay",
                "What stands beside the scale in pay: wage terms, charges, advances, holdback, payments.",
            ),
            tag(
                "journal",
                "Double entry: what was posted, what every account stands at, and handing it over.",
            ),
            tag(
                "audit",
                "Volume held against pay, and the scale against what mills sawed and cruises expected.",
            ),
            tag("seals", "Everything that was accepted up to a moment, as one signed hash, and what proves something by it."),
            tag("events", "Telling other tools what happens in the books, as it happens."),
            tag("service", "The service itself."),
        ]))
        .build()
}

const DESCRIPTION: &str = "Scaling timber and settling piece-rate pay between mill, contractor and woods crew.\n\n\
Measured and paid numbers are text, exact to the last digit. Ids are UUIDs of version 7. Days are `YYYY-MM-DD`, where \
the outfit is; times are UTC. Members that an operation does not know are refused. Every refusal is a problem document \
(RFC 9457) with a `code` from a closed set; the codes of each operation stand with its responses.\n\n\
Each caller may send so many requests in a minute; the headers `RateLimit-Policy` and `RateLimit` tell how many, how many \
are left at once (`r`) and in how many seconds all of them are there again (`t`). They count within one instance of the \
service. Whoever asks too often is answered 429, whoever comes when the service has its hands full 503, both with \
`Retry-After`. The headers `traceparent` and `tracestate` (W3C Trace Context) are read.\n\n\
Lists come in pages, each with the address of the next in the header `Link`, and as JSON or as comma-separated values. \
What is read from the books carries a tag (`ETag`), so that it is sent again only when it has changed; HEAD is answered as GET, \
without the body. An instance that only reads, as from a replica, puts the header `Books-As-Of` on it: every change that was \
committed before that time is in the answer. It refuses what keeps something with 503 `read-only`.\n\n\
Records are never changed or deleted: a wrong ticket is corrected by another that names it, and what that changes in a \
week already posted comes as an adjustment in the open week.\n\n\
What the service computes is arithmetic, not legal advice: wage law, scaler licensing and woods safety are for local \
law and licensed professionals.";

/// The document with security, problems and plain descriptions added to every operation.
#[must_use]
fn finished(mut api: OpenApi) -> OpenApi {
    let components = api.components.get_or_insert_with(Components::new);
    components.schemas.insert(Problem::name().into_owned(), Problem::schema());
    let mut nested = Vec::new();
    Problem::schemas(&mut nested);
    components.schemas.extend(nested);
    webhooks::add_schemas(components);
    components.add_security_scheme(
        BEARER,
        SecurityScheme::Http(
            Http::builder()
                .scheme(HttpAuthScheme::Bearer)
                .bearer_format("JWT")
                .description(Some(
                    "An access token, from `sign_in`, from `grant_access`, or from the program `skidway token`; or a \
                     machine's key from `make_machine_key`.",
                ))
                .build(),
        ),
    );
    for operation in routes::OPERATIONS {
        if let Some(item) = api.paths.paths.get_mut(operation.path)
            && let Some(described) = of_method(item, operation)
        {
            complete(described, operation);
        }
    }
    finish_as_json(&mut api);
    api
}

fn of_method<'a>(item: &'a mut PathItem, operation: &Operation) -> Option<&'a mut PathOperation> {
    match operation.method.as_str() {
        "GET" => item.get.as_mut(),
        "POST" => item.post.as_mut(),
        "PUT" => item.put.as_mut(),
        _ => None,
    }
}

fn complete(described: &mut PathOperation, operation: &Operation) {
    if let Access::Roles(roles) = operation.access {
        described.security = Some(vec![SecurityRequirement::new(BEARER, Vec::<String>::new())]);
        let names: Vec<_> = roles.iter().map(|role| format!("`{}`", role.name())).collect();
        let open_to = format!("Open to: {}.", names.join(", "));
        described.description = Some(match described.description.take() {
            Some(text) if !text.is_empty() => format!("{text}\n\n{open_to}"),
            _ => open_to,
        });
    }
    if operation.effect.is_filed() {
        say_how_to_file(described, operation);
    }
    let mut by_status: BTreeMap<u16, Vec<Code>> = BTreeMap::new();
    for code in operation.all_refusals() {
        by_status.entry(code.status()).or_default().push(code);
    }
    for (status, codes) in by_status {
        described.responses.responses.insert(status.to_string(), RefOr::T(problems(&codes)));
    }
    documenting_reads::complete(described, operation);
    if let Some(example) = examples::of(operation.id) {
        show_example(described, example);
    }
}

/// What every change takes and answers beside its body: the key, the rehearsal, and the answer to a repeat.
fn say_how_to_file(described: &mut PathOperation, operation: &Operation) {
    let parameter = |name: &str,
                     place: ParameterIn,
                     says: &str,
                     schema: Object,
                     required: Required|
     -> RefOr<Parameter> {
        ParameterBuilder::new()
            .name(name)
            .parameter_in(place)
            .description(Some(says))
            .required(required)
            .schema(Some(schema))
            .build()
            .into()
    };
    let parameters = described.parameters.get_or_insert_default();
    parameters.push(parameter(
        "dry_run",
        ParameterIn::Query,
        "`true`: go through all of it, answer as if it were kept, and keep nothing. Ids in the answer are then nobody's.",
        Object::with_type(Type::Boolean),
        Required::False,
    ));
    if operation.effect == Effect::Keyed {
        let key = ObjectBuilder::new()
            .schema_type(Type::String)
            .pattern(Some(KEY_PATTERN))
            .examples([Value::from(KEY_EXAMPLE)])
            .build();
        parameters.push(parameter(filing::KEY_HEADER, ParameterIn::Header, KEY_SAYS, key, Required::False));
    }
    let responses = &mut described.responses.responses;
    let Some(RefOr::T(created)) = responses.get("201").cloned() else { return };
    let header = |says: &str| {
        Header::builder().schema(Some(Object::with_type(Type::String))).description(Some(says)).build()
    };
    let repeated = ResponseBuilder::from(created)
        .description("It was done before, and nothing has changed; or it was only rehearsed.")
        .header("Replayed", header("`true` when it was done before."))
        .header("Dry-Run", header("`true` when it was only rehearsed."))
        .build();
    responses.insert("200".to_owned(), RefOr::T(repeated));
}

/// A String item (RFC 9651) of 1 to 255 characters.
const KEY_PATTERN: &str = r#"^"([ !#-\[\]-~]|\\["\\]){1,255}"$"#;
const KEY_EXAMPLE: &str = "\"8e03978e-40d5-43e8-bc93-6894a57f9324\"";
const KEY_SAYS: &str = "Needed unless `dry_run` is `true`. A text of your own in double quotes, new for each request and \
the same for a repeat: a request that was done is not done again, and is answered 200 as it was answered then, with \
`Replayed: true`. Keys are yours alone, hold for one operation, and are kept as long as the books. What was refused may be \
sent again with the same key.";

/// Shows what is sent and what is answered when all is well.
fn show_example(described: &mut PathOperation, example: &Example) {
    if let (Some(RefOr::T(body)), Some(text)) = (described.request_body.as_mut(), example.request) {
        for (media_type, content) in &mut body.content {
            attach(content, example_in(media_type, text));
        }
    }
    for (status, response) in &mut described.responses.responses {
        if let RefOr::T(response) = response
            && status.starts_with('2')
        {
            for (media_type, content) in &mut response.content {
                let shown = example.responses.iter().find(|answer| answer.media_type == *media_type);
                let as_text = is_text(content);
                let example = shown.and_then(|answer| match as_text {
                    true => Some(Value::from(answer.text)),
                    false => example_in(answer.media_type, answer.text),
                });
                attach(content, example);
            }
        }
    }
}

/// An example as it stands in the document: JSON as such, one line of lines of JSON, anything else as its text.
fn example_in(media_type: &str, text: &str) -> Option<Value> {
    match media_type {
        // A file that is no JSON is found by the tests; the document then goes without.
        examples::JSON => serde_json::from_str(text).ok(),
        "application/x-ndjson" => serde_json::from_str(text.lines().next()?).ok(),
        _ => Some(Value::from(text)),
    }
}

/// Whether what is sent is told to be a text, whatever stands in it.
fn is_text(content: &RefOr<Content>) -> bool {
    let RefOr::T(Content { schema: Some(RefOr::T(Schema::Object(schema))), .. }) = content else {
        return false;
    };
    schema.schema_type == SchemaType::Type(Type::String)
}

fn attach(content: &mut RefOr<Content>, example: Option<Value>) {
    if let RefOr::T(content) = content {
        content.example = example;
    }
}

fn problems(codes: &[Code]) -> Response {
    let lines: Vec<_> = codes.iter().map(|code| format!("`{}`: {}.", code.text(), code.title())).collect();
    let example = codes.first().map(|code| Problem::new(*code, "what was wrong this time"));
    let content = ContentBuilder::new()
        .schema(Some(Ref::from_schema_name(Problem::name())))
        .example(example.and_then(|problem| serde_json::to_value(problem).ok()))
        .build();
    let response =
        ResponseBuilder::new().description(lines.join("\n\n")).content("application/problem+json", content);
    if codes.iter().any(|code| matches!(code.status(), 429 | 503)) {
        let mut wait = Header::new(ObjectBuilder::new().schema_type(Type::Integer));
        wait.description = Some("How many seconds to wait before trying again.".to_owned());
        return response.header("Retry-After", wait).build();
    }
    response.build()
}

/// What the types cannot say of themselves: descriptions for readers of JSON, and tags that fit.
fn finish_as_json(api: &mut OpenApi) {
    let Ok(mut value) = serde_json::to_value(&*api) else { return };
    if let Some(document) = value.as_object_mut() {
        document.insert("webhooks".to_owned(), webhooks::webhooks());
    }
    cut_code(&mut value);
    settle_tags(&mut value);
    name_what_is_listed(&mut value);
    if let Ok(cut) = serde_json::from_value(value) {
        *api = cut;
    }
}

/// A page spells out what is listed; where that has a name of its own, the name says it.
fn name_what_is_listed(document: &mut Value) {
    let Some(schemas) = document.pointer_mut("/components/schemas").and_then(Value::as_object_mut) else {
        return;
    };
    let names: Vec<_> = schemas.keys().cloned().collect();
    for name in names {
        let listed = name.strip_prefix("Listing_").filter(|listed| schemas.contains_key(*listed));
        let Some(listed) = listed.map(str::to_owned) else { continue };
        let page = schemas.get_mut(&name);
        if let Some(items) = page.and_then(|page| page.pointer_mut("/properties/items/items")) {
            *items = json!({"$ref": format!("#/components/schemas/{listed}")});
        }
    }
}

/// A tagged choice comes as "all of these members, and of the tag". Where the members forbid any other, nothing at
/// all would fit: the tag is another. So the tag becomes a member like them.
fn settle_tags(document: &mut Value) {
    let Some(schemas) = document.pointer_mut("/components/schemas").and_then(Value::as_object_mut) else {
        return;
    };
    let mut tags = Vec::new();
    for choice in schemas.values_mut().filter_map(|schema| schema.get_mut("oneOf")?.as_array_mut()).flatten()
    {
        if let Some([members, tag]) = choice.get("allOf").and_then(Value::as_array).map(Vec::as_slice)
            && let Some(name) =
                members.get("$ref").and_then(Value::as_str).and_then(|path| path.rsplit('/').next())
        {
            tags.push((name.to_owned(), tag.clone()));
            *choice = members.clone();
        }
    }
    for (name, tag) in tags {
        let Some(schema) = schemas.get_mut(&name) else { continue };
        for (member, described) in tag.get("properties").and_then(Value::as_object).into_iter().flatten() {
            if let Some(properties) = schema.get_mut("properties").and_then(Value::as_object_mut) {
                properties.insert(member.clone(), described.clone());
            }
            // Where every other member has a default there is no list yet, and the tag is still needed.
            let required = schema.as_object_mut().map(|schema| schema.entry("required"));
            if let Some(required) = required
                .and_then(|required| required.or_insert_with(|| Value::Array(Vec::new())).as_array_mut())
            {
                required.insert(0, Value::from(member.as_str()));
            }
        }
    }
}

/// Descriptions come from the types' own documentation, parts of which are for readers of Rust: links, and
/// everything from the first block of code on.
fn cut_code(value: &mut Value) {
    match value {
        Value::Object(members) => {
            for (name, member) in members {
                match member {
                    Value::String(text) if name == "description" => {
                        let before = text.split_once("```").map_or(text.as_str(), |(before, _)| before);
                        *text = without_links(before.trim_end());
                    }
                    other => cut_code(other),
                }
            }
        }
        Value::Array(items) => items.iter_mut().for_each(cut_code),
        _ => {}
    }
}

/// Links to other parts of the program lead nowhere in the document: "[`Name`](path)" becomes "`Name`".
fn without_links(text: &str) -> String {
    let mut parts = text.split("[`");
    let mut plain = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        plain.push('`');
        match part.split_once("`]") {
            None => plain.push_str(part),
            Some((name, rest)) => {
                let path = rest.strip_prefix('(').and_then(|path| path.split_once(')'));
                plain.push_str(name);
                plain.push('`');
                plain.push_str(path.map_or(rest, |(_, rest)| rest));
            }
        }
    }
    plain
}

/// The finished document, gathered from the operations once: it is the same for every worker and every service.
#[must_use]
pub fn document() -> OpenApi {
    static DOCUMENT: OnceLock<OpenApi> = OnceLock::new();
    let gathered = || {
        let (_, api) = utoipa_actix_web::AppExt::into_utoipa_app(actix_web::App::new())
            .openapi(base())
            .configure(routes::describe)
            .split_for_parts();
        finished(api)
    };
    DOCUMENT.get_or_init(gathered).clone()
}

/// The document as it is committed and served: JSON with sorted keys.
///
/// # Errors
///
/// When the document has no JSON form.
pub fn document_text() -> Result<String, serde_json::Error> {
    let value = serde_json::to_value(document())?;
    let mut text = serde_json::to_string_pretty(&value)?;
    text.push('\n');
    Ok(text)
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use utoipa_actix_web::OpenApiFactory;

    use super::*;

    /// What every operation brings to the components, before they are merged by name.
    macro_rules! brought {
        ($($area:ident { $($verb:ident),+ })+) => {
            vec![$($({
                let handle = routes::$area::$verb::handle;
                let mut schemas = Vec::new();
                handle.schemas(&mut schemas);
                (routes::$area::$verb::OPERATION.id, schemas)
            }),+),+]
        };
    }

    #[test]
    fn links_become_names() {
        let linked = "Not [`Weight`](crate::Weight) but [`Volume`], (see there).";
        assert_eq!(without_links(linked), "Not `Weight` but `Volume`, (see there).");
        assert_eq!(without_links("a list [1] and `code`"), "a list [1] and `code`");
    }

    #[test]
    fn a_tag_is_required_also_where_nothing_else_is() {
        let document = serde_json::to_value(document()).unwrap();
        let required = |name: &str| document["components"]["schemas"][name]["required"].clone();
        assert_eq!(required("CordPractice"), serde_json::json!(["unit"]));
        assert_eq!(required("RankedPile"), serde_json::json!(["product", "species"]));
    }

    /// Two types with one name would collapse into one component, and one of them be documented wrongly.
    #[test]
    fn no_two_types_have_one_name() {
        let mut brought = routes::with_operations!(brought);
        let mut problem = vec![(Problem::name().into_owned(), Problem::schema())];
        Problem::schemas(&mut problem);
        brought.push(("problems", problem));
        let mut known: BTreeMap<String, (&str, RefOr<utoipa::openapi::Schema>)> = BTreeMap::new();
        for (operation, schemas) in brought {
            for (name, schema) in schemas {
                let (first, other) = known.entry(name.clone()).or_insert_with(|| (operation, schema.clone()));
                assert!(*other == schema, "two types are named {name}: one of {first}, one of {operation}");
            }
        }
        assert!(known.len() > 60, "{:?}", known.keys());
    }
}
