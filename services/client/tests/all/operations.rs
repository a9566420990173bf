//! Every operation goes to its path with its method, and again only where that is harmless.

use client::{
    AccessQuery, AdvanceQuery, AuditQuery, CertificateQuery, ChangeQuery, ChargeQuery, Client, DeliveryQuery,
    ExportQuery, JournalQuery, OPERATIONS, PageQuery, Patience, PaymentQuery, ReportQuery, SealedRecord,
    SettlementQuery, SpanQuery, StatementQuery, TicketQuery, TimeQuery, UnpricedQuery,
};
use jiff::civil::date;
use serde::de::DeserializeOwned;
use serde_json::{Value, json};
use settlement::AccountKind;
use wire::{Code, JournalFormat};

use crate::http::ticket;
use crate::server::{Reply, Server};

pub(crate) const ID: &str = "0197a000-0000-7000-8000-000000000001";

pub(crate) fn id<T: std::str::FromStr<Err: std::fmt::Debug>>() -> T {
    ID.parse().unwrap()
}

pub(crate) fn body<T: DeserializeOwned>(value: Value) -> T {
    serde_json::from_value(value).unwrap()
}

fn terms() -> Value {
    json!({"effective_from": "2031-06-01", "practice": {"log": {"rule": "doyle"}}, "rates": []})
}

fn log_table() -> Value {
    json!({"heading": {"title": "T", "unit": "board_foot", "rounding": "none", "source": "S"},
           "cells": {"csv": "in,8\n6,5\n"}})
}

/// Asks for one operation; what comes of it does not matter here.
async fn ask(operation: &str, client: &Client) -> bool {
    if let Some(refused) = crate::exceptions::ask(operation, client, ID).await {
        return refused;
    }
    if let Some(refused) = crate::outside::ask(operation, client).await {
        return refused;
    }
    let page = PageQuery::default();
    let named = json!({"name": "N"});
    let refused = match operation {
        "open_outfit" => {
            let outfit =
                json!({"name": "N", "currency": "USD", "time_zone": "UTC", "week_ends_on": "friday"});
            client.open_outfit(&body(outfit)).await.is_err()
        }
        "show_outfit" => client.show_outfit().await.is_err(),
        "grant_access" => {
            client.grant_access(&body(json!({"subject": "S", "role": "scaler"}))).await.is_err()
        }
        "list_access" | "revoke_access" | "register_account" | "list_accounts" | "issue_enrolment"
        | "set_password" | "close_account" | "make_machine_key" | "sign_in" | "sign_in_externally"
        | "refresh_sign_in" | "sign_out" | "show_token_keys" => ask_about_access(operation, client).await,
        "file_worker" => client.file_worker(&body(named)).await.is_err(),
        "list_workers" => client.list_workers(&page).await.is_err(),
        "file_crew" => client.file_crew(&body(named)).await.is_err(),
        "list_crews" => client.list_crews(&page).await.is_err(),
        "file_share_set" => {
            let set = json!({"effective_from": "2031-06-01", "shares": []});
            client.file_share_set(id(), &body(set)).await.is_err()
        }
        "file_mill" => client.file_mill(&body(named)).await.is_err(),
        "list_mills" => client.list_mills(&page).await.is_err(),
        "file_job" => client.file_job(&body(named)).await.is_err(),
        "list_jobs" => client.list_jobs(&page).await.is_err(),
        "file_landing" => client.file_landing(id(), &body(named)).await.is_err(),
        "list_practices" => client.list_practices(id(), Some(date(2031, 6, 7))).await.is_err(),
        "file_log_table" | "list_log_tables" | "show_log_table" | "check_log_table" | "file_contract"
        | "list_contracts" | "show_contract" | "file_terms" | "preview_terms" => {
            ask_about_terms(operation, client).await
        }
        "list_rules" | "scale" | "scale_piece" => ask_about_scaling(operation, client).await,
        "list_unpriced" => {
            let query = UnpricedQuery { to: Some(date(2031, 6, 7)), ..UnpricedQuery::default() };
            client.list_unpriced(&query).await.is_err()
        }
        "live" => client.live().await.is_err(),
        "ready" => client.ready().await.is_err(),
        "show_problem" => client.show_problem(Code::TicketDiffers).await.is_err(),
        "list_journal" | "show_journal_entry" | "show_trial_balance" | "export_journal" | "list_balances" => {
            ask_about_the_journal(operation, client).await
        }
        "list_scale_books"
        | "list_gaps"
        | "void_numbers"
        | "list_voided_numbers"
        | "file_scaler_certificate"
        | "list_scaler_certificates" => ask_about_the_yard(operation, client).await,
        one if one.contains("check_scale") || one.contains("volume_adjustment") => {
            crate::check_scales::ask(operation, client).await
        }
        "list_changes" => client.list_changes(&ChangeQuery::default()).await.is_err(),
        "audit_volume_against_pay" | "audit_margin" | "report_audit" => {
            ask_about_audits(operation, client).await
        }
        _ => return ask_about_tickets_and_pay(operation, client).await,
    };
    assert!(refused, "{operation}");
    true
}

async fn ask_about_scaling(operation: &str, client: &Client) -> bool {
    match operation {
        "list_rules" => client.list_rules().await.is_err(),
        "scale" => client.scale(&body(json!({"rule": "doyle"}))).await.is_err(),
        _ => {
            let request = json!({"terms_id": ID, "piece": ticket(1)["pieces"][0]});
            client.scale_piece(&body(request)).await.is_err()
        }
    }
}

async fn ask_about_audits(operation: &str, client: &Client) -> bool {
    match operation {
        "audit_volume_against_pay" => {
            let days = AuditQuery::of_days(date(2031, 6, 1), date(2031, 6, 7));
            let query =
                AuditQuery { job_id: Some(id()), contract_id: Some(id()), crew_id: Some(id()), ..days };
            client.audit_volume_against_pay(&query).await.is_err()
        }
        "audit_margin" => {
            let query = SpanQuery { from: date(2031, 6, 1), to: date(2031, 6, 7), job_id: Some(id()) };
            client.audit_margin(&query).await.is_err()
        }
        "report_audit" => {
            let query = ReportQuery { from: date(2031, 6, 1), to: date(2031, 6, 7), job_id: Some(id()) };
            client.report_audit(&query).await.is_err()
        }
        _ => false,
    }
}

async fn ask_about_access(operation: &str, client: &Client) -> bool {
    let reason = json!({"reason": "R"});
    match operation {
        "list_access" => {
            let query = AccessQuery { standing: Some(true), after: Some(ID.to_owned()), limit: Some(2) };
            client.list_access(&query).await.is_err()
        }
        "revoke_access" => client.revoke_access(id(), &body(reason)).await.is_err(),
        "register_account" => {
            client.register_account(&body(json!({"name": "n", "role": "scaler"}))).await.is_err()
        }
        "list_accounts" => client.list_accounts(&PageQuery::default()).await.is_err(),
        "issue_enrolment" => client.issue_enrolment(id(), &body(reason)).await.is_err(),
        "set_password" => {
            let set = json!({"outfit_id": ID, "enrolment_code": "C", "password": "twelve letters"});
            client.set_password(id(), &body(set)).await.is_err()
        }
        "close_account" => client.close_account(id(), &body(reason)).await.is_err(),
        "make_machine_key" => {
            let key = json!({"name": "N", "role": "scaler", "scopes": ["tickets:write"],
                             "expires_on": "2031-06-30"});
            client.make_machine_key(&body(key)).await.is_err()
        }
        "sign_in" => {
            let sign_in = json!({"outfit_id": ID, "name": "n", "password": "P"});
            client.sign_in(&body(sign_in)).await.is_err()
        }
        "sign_in_externally" => {
            let sign_in = json!({"outfit_id": ID, "id_token": "T"});
            client.sign_in_externally(&body(sign_in)).await.is_err()
        }
        "refresh_sign_in" => client.refresh_sign_in(&body(json!({"refresh_token": "T"}))).await.is_err(),
        "sign_out" => client.sign_out(&body(json!({"refresh_token": "T"}))).await.is_err(),
        "show_token_keys" => client.show_token_keys().await.is_err(),
        other => panic!("{other}"),
    }
}

async fn ask_about_terms(operation: &str, client: &Client) -> bool {
    let page = PageQuery::default();
    match operation {
        "file_log_table" => client.file_log_table(&body(log_table())).await.is_err(),
        "list_log_tables" => client.list_log_tables(&page).await.is_err(),
        "show_log_table" => client.show_log_table(id()).await.is_err(),
        "check_log_table" => client.check_log_table(&body(log_table())).await.is_err(),
        "file_contract" => {
            let contract = json!({"title": "T", "job_id": ID, "party": {"crew_id": ID}, "terms": terms()});
            client.file_contract(&body(contract)).await.is_err()
        }
        "list_contracts" => client.list_contracts(&page).await.is_err(),
        "show_contract" => client.show_contract(id()).await.is_err(),
        "file_terms" => client.file_terms(id(), &body(terms())).await.is_err(),
        _ => {
            let proposal = json!({"terms": terms(), "from": "2031-06-01", "to": "2031-06-30"});
            client.preview_terms(id(), &body(proposal)).await.is_err()
        }
    }
}

async fn ask_about_the_journal(operation: &str, client: &Client) -> bool {
    let (from, to) = (Some(date(2031, 6, 1)), Some(date(2031, 6, 7)));
    match operation {
        "list_journal" => {
            let query = JournalQuery {
                from,
                to,
                account: Some(AccountKind::PayableToWorker),
                worker_id: Some(id()),
                mill_id: None,
                after: Some(ID.to_owned()),
                limit: Some(2),
            };
            client.list_journal(&query).await.is_err()
        }
        "show_journal_entry" => client.show_journal_entry(id()).await.is_err(),
        "show_trial_balance" => client.show_trial_balance(None).await.is_err(),
        "export_journal" => {
            let query = ExportQuery { format: JournalFormat::Csv, from, to };
            client.export_journal(&query).await.is_err()
        }
        _ => client.list_balances(to).await.is_err(),
    }
}

async fn ask_about_the_yard(operation: &str, client: &Client) -> bool {
    let (book, page) = ("A/B & C".to_owned().try_into().unwrap(), PageQuery::default());
    match operation {
        "list_scale_books" => client.list_scale_books(&page).await.is_err(),
        "list_gaps" => client.list_gaps(&book, &page).await.is_err(),
        "void_numbers" => {
            let numbers = json!({"from": 17, "reason": "the sheet got wet"});
            client.void_numbers(&book, &body(numbers)).await.is_err()
        }
        "list_voided_numbers" => client.list_voided_numbers(&book, &page).await.is_err(),
        "file_scaler_certificate" => {
            let certificate = json!({"scaler": "N", "certificate": "C", "issued_by": "I",
                                     "valid_from": "2031-01-01", "valid_to": "2033-12-31"});
            client.file_scaler_certificate(&body(certificate)).await.is_err()
        }
        _ => {
            let query = CertificateQuery { on: Some(date(2031, 6, 7)), ..CertificateQuery::default() };
            client.list_scaler_certificates(&query).await.is_err()
        }
    }
}

async fn ask_about_tickets_and_pay(operation: &str, client: &Client) -> bool {
    let refused = match operation {
        "post_ticket" => client.post_ticket(&body(ticket(1))).await.is_err(),
        "post_tickets" => client.post_tickets(&[body(ticket(1))]).await.is_err(),
        "post_ticket_sheet" => client.post_ticket_sheet("book\r\n".to_owned()).await.is_err(),
        "ticket_sheet_template" => client.ticket_sheet_template().await.is_err(),
        "list_tickets" => {
            let query = TicketQuery {
                job_id: Some(id()),
                book: Some("A & B".to_owned()),
                from: Some(date(2031, 6, 1)),
                to: Some(date(2031, 6, 7)),
                standing: Some(true),
                after: Some(ID.to_owned()),
                limit: Some(2),
                ..TicketQuery::default()
            };
            client.list_tickets(&query).await.is_err()
        }
        "show_ticket" => client.show_ticket(id()).await.is_err(),
        "correct_ticket" => {
            let right = json!({"reason": "read the wrong end", "ticket": ticket(2)});
            client.correct_ticket(id(), &body(right)).await.is_err()
        }
        "show_working" => client.show_working(id()).await.is_err(),
        "explain_ticket" => client.explain_ticket(id()).await.is_err(),
        "explain_piece" => client.explain_piece(id(), 2).await.is_err(),
        "file_time" => {
            let hours = json!({"worker_id": ID, "worked_on": "2031-06-03", "hours": "9",
                               "what_for": {"kind": "rest"}});
            client.file_time(&body(hours)).await.is_err()
        }
        "list_time" => {
            let query = TimeQuery { worker_id: Some(id()), standing: Some(true), ..TimeQuery::default() };
            client.list_time(&query).await.is_err()
        }
        "set_aside" => {
            client.set_aside(id(), &body(json!({"task": "peeling", "reason": "R"}))).await.is_err()
        }
        "draft_settlement" => {
            client.draft_settlement(&body(json!({"week_ends_on": "2031-06-07"}))).await.is_err()
        }
        "list_settlements" => {
            let query = SettlementQuery {
                week_ends_on: Some(date(2031, 6, 7)),
                posted: Some(false),
                ..SettlementQuery::default()
            };
            client.list_settlements(&query).await.is_err()
        }
        "show_settlement" => client.show_settlement(id()).await.is_err(),
        "post_settlement" => client.post_settlement(id()).await.is_err(),
        "show_crew_sheet" => client.show_crew_sheet(id(), id()).await.is_err(),
        "explain_line" => client.explain_line(id(), 3).await.is_err(),
        "rederive_settlement" => client.rederive_settlement(id(), Some(id())).await.is_err(),
        "list_statements" => {
            let query = StatementQuery {
                settlement_id: Some(id()),
                worker_id: Some(id()),
                ..StatementQuery::default()
            };
            client.list_statements(&query).await.is_err()
        }
        "show_statement" => client.show_statement(id()).await.is_err(),
        "explain_statement_line" => client.explain_statement_line(id(), 3).await.is_err(),
        _ => return ask_about_money(operation, client).await,
    };
    assert!(refused, "{operation}");
    true
}

async fn ask_about_money(operation: &str, client: &Client) -> bool {
    let charge = json!({"worker_id": ID, "dated": "2031-06-07", "kind": "board", "says": "S", "amount": "1"});
    let advance = json!({"worker_id": ID, "dated": "2031-06-07", "says": "S", "amount": "1"});
    let payment = json!({"party": {"mill_id": ID}, "dated": "2031-06-07", "says": "S", "amount": "1"});
    let release =
        json!({"worker_id": ID, "contract_id": ID, "dated": "2031-06-07", "says": "S", "amount": "1"});
    let refused = match operation {
        "file_wage_terms" => {
            let terms = json!({"effective_from": "2031-06-01", "terms": {}});
            client.file_wage_terms(&body(terms)).await.is_err()
        }
        "list_wage_terms" => client.list_wage_terms().await.is_err(),
        "file_charge" => client.file_charge(&body(charge)).await.is_err(),
        "list_charges" => {
            let query = ChargeQuery { worker_id: Some(id()), ..ChargeQuery::default() };
            client.list_charges(&query).await.is_err()
        }
        "file_advance" => client.file_advance(&body(advance)).await.is_err(),
        "list_advances" => {
            let query = AdvanceQuery { worker_id: Some(id()), ..AdvanceQuery::default() };
            client.list_advances(&query).await.is_err()
        }
        "file_payment" => client.file_payment(&body(payment)).await.is_err(),
        "list_payments" => {
            let query = PaymentQuery { mill_id: Some(id()), ..PaymentQuery::default() };
            client.list_payments(&query).await.is_err()
        }
        "list_holdback" => client.list_holdback(Some(id())).await.is_err(),
        "release_holdback" => client.release_holdback(&body(release)).await.is_err(),
        "file_reversal" => {
            let reversal = json!({"record": {"payment_id": ID}, "reason": "R"});
            client.file_reversal(&body(reversal)).await.is_err()
        }
        _ => return ask_about_events(operation, client).await,
    };
    assert!(refused, "{operation}");
    true
}

async fn ask_about_events(operation: &str, client: &Client) -> bool {
    let subscription = json!({"url": "https://payroll.example/", "kinds": ["week.posted"], "says": "S"});
    let query = DeliveryQuery { after: Some("1.2".to_owned()), limit: Some(2) };
    let refused = match operation {
        "file_event_subscription" => client.file_event_subscription(&body(subscription)).await.is_err(),
        "list_event_subscriptions" => client.list_event_subscriptions(&PageQuery::default()).await.is_err(),
        "show_event_subscription" => client.show_event_subscription(id()).await.is_err(),
        "end_event_subscription" => {
            client.end_event_subscription(id(), &body(json!({"reason": "R"}))).await.is_err()
        }
        "make_signing_secret" => client.make_signing_secret(id(), &body(json!({}))).await.is_err(),
        "try_event_subscription" => client.try_event_subscription(id(), &body(json!({}))).await.is_err(),
        "list_deliveries" => client.list_deliveries(id(), &query).await.is_err(),
        "list_dead_letters" => client.list_dead_letters(id(), &query).await.is_err(),
        "replay_dead_letters" => client.replay_dead_letters(id(), &body(json!({}))).await.is_err(),
        _ => return ask_about_seals(operation, client).await,
    };
    assert!(refused, "{operation}");
    true
}

async fn ask_about_seals(operation: &str, client: &Client) -> bool {
    let refused = match operation {
        "make_seal" => client.make_seal(&body(json!({}))).await.is_err(),
        "list_seals" => client.list_seals(&PageQuery::default()).await.is_err(),
        "show_seal" => client.show_seal(id()).await.is_err(),
        "show_seal_inclusion" => {
            client.show_seal_inclusion(id(), SealedRecord::Settlement(id())).await.is_err()
        }
        "show_seal_consistency" => client.show_seal_consistency(id(), id()).await.is_err(),
        "export_sealed_records" => client.export_sealed_records(id(), 1000).await.is_err(),
        "check_seal" => client.check_seal(id()).await.is_err(),
        "list_seal_keys" => client.list_seal_keys().await.is_err(),
        _ => return false,
    };
    assert!(refused, "{operation}");
    true
}

#[tokio::test]
async fn every_operation_goes_to_its_path_and_again_only_where_that_is_harmless() {
    let twice = Patience { tries: 2, ..Patience::NONE };
    let mut listed = String::new();
    for operation in OPERATIONS {
        let server = Server::new(vec![Reply::HangUp]);
        let client = Client::new(&server.address, None).unwrap().with_patience(twice);
        assert!(ask(operation, &client).await, "{operation} is not asked here");
        let lines = server.lines();
        assert!(lines.iter().all(|line| *line == lines[0]), "{operation}");
        let sent = if lines.len() == 2 { "again when there is no answer" } else { "once" };
        listed.push_str(&format!("{operation}: {} ({sent})\n", lines[0].replace(ID, "ID")));
    }
    crate::golden::check("operations.txt", &listed);
}
