//! The part of the API document about events: what is sent to the tools that subscribed to it.

use serde_json::{Value, json};
use utoipa::openapi::Components;
use utoipa::{PartialSchema, ToSchema};
use wire::{StatementReady, SubscriptionTrial, TicketAccepted, TicketCorrected, WeekPosted};

/// One type of event as the document shows it.
struct Shown {
    /// The `type`.
    kind: &'static str,
    /// What it means, in one line.
    summary: &'static str,
    /// The name of the schema of `data`.
    schema: String,
    /// An example of `data`.
    data: Value,
}

const HOW: &str = "Sent by POST to the address of every subscription to this type, as Standard Webhooks 1.0.0 lays it \
out. Check `webhook-signature` over the bytes of the body as they came, with the secret of the subscription, before \
you believe a word; the library `client` has a function for it. Answer 2xx as soon as you have it safely, within 15 \
seconds.\n\n\
Anything else, and no answer, is sent again with the same `webhook-id`: after 5 seconds, 5 and 30 minutes, 2, 5, 10, \
14, 20 and 24 hours, with a little chance added; then it is given up and stands in the dead letters. What happened \
later waits until then, so events arrive in the order in which they happened; only what is replayed comes late. An \
event can arrive twice: remember the ids. Redirects are not followed. 410 ends the subscription; 429, 502, 504 and the \
header `Retry-After` (seconds, up to a day) slow it down.";

fn shown() -> [Shown; 5] {
    let ticket = json!({
        "ticket_id": "0197a000-0000-7000-8000-000000000011", "book": "N", "number": 103,
        "job_id": "0197a000-0000-7000-8000-000000000001", "landing_id": "0197a000-0000-7000-8000-000000000002",
        "scaled_on": "2026-06-05", "pieces": 14
    });
    let mut corrected = ticket.clone();
    corrected["corrects"] = json!("0197a000-0000-7000-8000-000000000010");
    corrected["void"] = json!(false);
    let dollars = |amount: &str| json!({"amount": amount, "currency": "USD"});
    let settlement = "0197a000-0000-7000-8000-000000000020";
    [
        Shown {
            kind: "ticket.accepted",
            summary: "A ticket was taken into the books",
            schema: TicketAccepted::name().into_owned(),
            data: ticket,
        },
        Shown {
            kind: "ticket.corrected",
            summary: "A ticket took the place of another, or made it void",
            schema: TicketCorrected::name().into_owned(),
            data: corrected,
        },
        Shown {
            kind: "week.posted",
            summary: "A week was settled for good",
            schema: WeekPosted::name().into_owned(),
            data: json!({"settlement_id": settlement, "week_ends_on": "2026-06-06", "statements": 4,
                         "due_to_workers": dollars("31.20"), "due_from_mills": dollars("80.00")}),
        },
        Shown {
            kind: "statement.ready",
            summary: "A payee's statement of a posted week can be fetched",
            schema: StatementReady::name().into_owned(),
            data: json!({"statement_id": "0197a000-0000-7000-8000-000000000021", "settlement_id": settlement,
                         "week_ends_on": "2026-06-06", "worker_id": "0197a000-0000-7000-8000-000000000003",
                         "earned": dollars("15.60"), "closing": dollars("12.10")}),
        },
        Shown {
            kind: "subscription.trial",
            summary: "Somebody tries whether the subscription works; nothing has happened",
            schema: SubscriptionTrial::name().into_owned(),
            data: json!({"subscription_id": "0197a000-0000-7000-8000-000000000030", "says": "hello"}),
        },
    ]
}

/// The schemas of what is sent.
pub fn add_schemas(components: &mut Components) {
    macro_rules! add {
        ($($type:ty),+) => {
            let mut schemas = Vec::new();
            $(
                schemas.push((<$type>::name().into_owned(), <$type>::schema()));
                <$type>::schemas(&mut schemas);
            )+
            components.schemas.extend(schemas);
        };
    }
    add!(TicketAccepted, TicketCorrected, WeekPosted, StatementReady, SubscriptionTrial);
}

/// The `webhooks` of the document.
#[must_use]
pub fn webhooks() -> Value {
    shown().iter().map(|one| (one.kind.to_owned(), json!({"post": operation(one)}))).collect()
}

fn operation(shown: &Shown) -> Value {
    let header = |name: &str, description: &str| {
        json!({"name": name, "in": "header", "required": true, "description": description,
               "schema": {"type": "string"}})
    };
    let answer = |description: &str| json!({"description": description});
    let name = shown.kind.replace('.', "_");
    let example = json!({"type": shown.kind, "timestamp": "2026-06-08T12:03:00Z", "data": shown.data});
    json!({
        "tags": ["events"],
        "operationId": format!("hear_{name}"),
        "summary": shown.summary,
        "description": HOW,
        // Nobody's token travels with it: the signature says who it is from.
        "security": [],
        "parameters": [
            header(client::events::ID_HEADER, "The event: the same however often it is sent."),
            header(client::events::TIMESTAMP_HEADER, "When it was sent, in seconds since 1970."),
            header(
                client::events::SIGNATURE_HEADER,
                "Signatures with blanks between them, one for each secret that signs now: `v1,` and the base64 of the \
                 HMAC-SHA256 of `{webhook-id}.{webhook-timestamp}.{body}`."
            ),
        ],
        "requestBody": {
            "required": true,
            "content": {"application/json": {"schema": schema(shown), "example": example}}
        },
        "responses": {
            "2XX": answer("Heard."),
            "410": answer("Nobody is there any more: the subscription ends."),
            "429": answer("Go slower."),
            "default": answer("Not heard: it is sent again.")
        }
    })
}

fn schema(shown: &Shown) -> Value {
    json!({
        "type": "object",
        "required": ["type", "timestamp", "data"],
        "properties": {
            "type": {"type": "string", "enum": [shown.kind], "description": "What happened."},
            "timestamp": {"type": "string", "format": "date-time", "description": "When it happened."},
            "data": {"$ref": format!("#/components/schemas/{}", shown.schema)}
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_type_is_shown_and_every_example_is_an_event() {
        for one in shown() {
            let event = json!({"type": one.kind, "timestamp": "2026-06-08T12:03:00Z", "data": one.data});
            let read: wire::Event = serde_json::from_value(event.clone()).unwrap();
            assert_eq!(read.content.name(), one.kind);
            assert_eq!(serde_json::to_value(&read).unwrap(), event);
        }
        let named: Vec<_> = shown().iter().map(|one| one.kind).collect();
        assert!(wire::EventKind::ALL.iter().all(|kind| named.contains(&kind.name())));
    }
}
