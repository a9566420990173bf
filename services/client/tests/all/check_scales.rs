//! Check scales, asked of a service that refuses everything.

use client::{CheckScaleQuery, Client, ComparisonQuery};
use jiff::civil::date;
use kernel::{CheckScaleId, VolumeAdjustmentId};
use serde_json::{Value, json};

fn body<T: serde::de::DeserializeOwned>(value: Value) -> T {
    serde_json::from_value(value).unwrap()
}

const ID: &str = "0197a000-0000-7000-8000-000000000001";

/// A check scale of two pieces.
fn check_scale() -> Value {
    json!({
        "contract_id": ID, "from": "2031-06-01", "to": "2031-06-07", "scaler": "S", "checked_on": "2031-06-08",
        "checker": "C", "notice": "blind", "pieces": [
            {"ticket_id": ID, "found": {"missing": {"piece": 1}}},
            {"ticket_id": ID, "found": {"scaled_again": {"piece": 2, "facts": {
                "product": "pole", "species": "cedar", "length_ft": "30"}}}},
        ]
    })
}

/// Sends the operation, and says whether it was refused.
pub async fn ask(operation: &str, client: &Client) -> bool {
    let (one, adjustment): (CheckScaleId, VolumeAdjustmentId) = (ID.parse().unwrap(), ID.parse().unwrap());
    match operation {
        "file_check_scale" => client.file_check_scale(&body(check_scale())).await.is_err(),
        "list_check_scales" => {
            let query = CheckScaleQuery {
                scaler: Some("S".to_owned()),
                from: Some(date(2031, 6, 1)),
                ..CheckScaleQuery::default()
            };
            client.list_check_scales(&query).await.is_err()
        }
        "show_check_scale" => {
            let query = ComparisonQuery { confidence: Some("99".to_owned()), ..ComparisonQuery::default() };
            client.show_check_scale(one, &query).await.is_err()
        }
        "file_volume_adjustment" => {
            client.file_volume_adjustment(one, &body(json!({"reason": "R", "although": "A"}))).await.is_err()
        }
        _ => client.reverse_volume_adjustment(adjustment, &body(json!({"reason": "R"}))).await.is_err(),
    }
}
