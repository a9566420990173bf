//! One history, taken down twice: by the running service, and in the model's record. Everything that is done is
//! predicted first.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::{Value, json};
use tests::Reply;
use wire::Code;

use crate::facts::calendar::Day;
use crate::facts::record::{RateKind, Record, Unit};
use crate::reckoning::earning::{Key, Reckoning, reckon};
use crate::reckoning::ledger::{Ledger, Line};
use crate::reckoning::pay::{Pay, pays};
use crate::service::outfit::{Outfit, list, text};
use crate::service::reading;
use crate::service::sql::Journal;

/// A disagreement between the model and the service, in words.
pub type Checked<T = ()> = Result<T, String>;

/// Holds what the service answered against what the model says.
pub fn same<T: PartialEq + std::fmt::Debug>(what: &str, model: &T, service: &T) -> Checked {
    if model == service {
        return Ok(());
    }
    Err(format!("{what}\n  by the model:   {model:?}\n  by the service: {service:?}"))
}

/// A draft, as it was predicted and as it was answered.
#[derive(Debug)]
pub struct Draft {
    pub id: String,
    pub week: Day,
    pub lines: Vec<Line>,
    pub pays: Vec<Pay>,
    /// The answer to its posting.
    pub posted: Option<Value>,
}

/// Why a week cannot be worked out at all, the first reason first.
fn cannot_be_computed(reckoning: &Reckoning, week: Day) -> Option<Code> {
    let up_to = |days: &BTreeSet<(Day, usize)>| days.iter().any(|(day, _)| *day <= week);
    if reckoning.unshared.iter().any(|day| *day <= week) {
        Some(Code::NoShareSet)
    } else if up_to(&reckoning.without_hours) {
        Some(Code::NoHours)
    } else if up_to(&reckoning.unpriced_time) {
        Some(Code::UnpricedTime)
    } else {
        None
    }
}

/// A history under way.
pub struct History {
    pub outfit: Outfit,
    pub journal: Journal,
    pub record: Record,
    pub ledger: Ledger,
    pub drafts: Vec<Draft>,
    pub hour: i64,
    /// How often each thing worth meeting was met.
    pub met: BTreeMap<String, u32>,
}

impl History {
    pub fn new(hour: i64) -> Self {
        let outfit = Outfit::new(hour);
        Self {
            journal: Journal::open(&outfit),
            outfit,
            record: Record::default(),
            ledger: Ledger::default(),
            drafts: Vec::new(),
            hour,
            met: BTreeMap::new(),
        }
    }

    pub fn meet(&mut self, what: impl Into<String>) {
        *self.met.entry(what.into()).or_default() += 1;
    }

    /// Notes what is worth meeting in what the record comes to.
    fn meet_among(&mut self, reckoning: &Reckoning) {
        for unpriced in &reckoning.unpriced {
            self.meet(format!("unpriced: {}", unpriced.why));
        }
        if reckoning.earned.values().any(|earned| earned.by_least) {
            self.meet("the least quantity of a turn");
        }
        if reckoning.earned.values().any(|earned| earned.by_half) {
            self.meet("half a cent");
        }
        let is_by_day = |key: &Key| self.record.terms[key.terms].rates[key.rate].unit == Unit::Day;
        if reckoning.earned.keys().any(is_by_day) {
            self.meet("time paid by the day");
        }
        let kinds: Vec<RateKind> =
            reckoning.earned.keys().map(|key| self.record.terms[key.terms].rates[key.rate].kind).collect();
        for (kind, name) in [(RateKind::Premium, "a premium"), (RateKind::Dockage, "a dockage")] {
            if kinds.contains(&kind) {
                self.meet(name);
            }
        }
        if reckoning.scale.values().any(|scale| scale.culls > 0) {
            self.meet("a cull");
        }
    }

    pub fn today(&self) -> Day {
        Day::at_hour(self.hour)
    }

    pub fn reckoning(&self) -> Reckoning {
        reckon(&self.record)
    }

    pub fn move_clock(&mut self, hour: i64) {
        self.hour = hour;
        self.outfit.move_clock(hour);
    }

    /// Holds a reply's status, and its code when it is a refusal, against the predicted ones.
    pub fn answered(&mut self, reply: &Reply, predicted: Result<u16, Code>) -> Checked<bool> {
        let code = reply.body.get("code").and_then(Value::as_str);
        let (status, predicted_code) = match predicted {
            Ok(status) => (status, None),
            Err(code) => (code.status(), Some(code.text())),
        };
        if let Some(code) = predicted_code {
            self.meet(format!("refused: {code}"));
        }
        let told = format!("{}: {:#}", reply.asked, reply.body);
        same(&told, &(status, predicted_code), &(reply.status, if status < 400 { None } else { code }))?;
        if status == 200 {
            self.meet("repeated");
            same(&told, &Some("true"), &reply.header("replayed"))?;
        }
        Ok(status == 201)
    }

    /// Drafts a week and holds the draft against the model; answers with its place among the drafts, if it was made.
    pub fn draft(&mut self, week: Day) -> Checked<Option<usize>> {
        let reckoning = self.reckoning();
        let predicted = if self.ledger.latest.is_some_and(|latest| latest >= week) {
            Err(Code::WeekPosted)
        } else {
            cannot_be_computed(&reckoning, week).map_or(Ok(201), Err)
        };
        let asked = json!({"week_ends_on": week.to_string()});
        let reply = self.outfit.bookkeeper.post("/v1/settlements", &asked);
        if !self.answered(&reply, predicted)? {
            return Ok(None);
        }
        let lines = self.ledger.lines(&reckoning, week);
        let pays = self.pays(&reckoning, &lines, week);
        self.compare_lines(&lines, &reply.body)?;
        self.compare_pays(&pays, &reply.body)?;
        self.meet_among(&reckoning);
        let open = reckoning.unpriced.iter().filter(|unpriced| unpriced.day <= week).cloned().collect();
        same(
            "unpriced in the draft",
            &open,
            &reading::unpriced(&self.outfit, list(&reply.body, "unpriced")),
        )?;
        self.drafts.push(Draft { id: text(&reply.body, "settlement_id"), week, lines, pays, posted: None });
        Ok(Some(self.drafts.len() - 1))
    }

    /// Posts a draft, or posts it again, and holds what comes of it against the model.
    pub fn post(&mut self, draft: usize) -> Checked<bool> {
        let reckoning = self.reckoning();
        let predicted = self.predicted_for_posting(&reckoning, &self.drafts[draft]);
        let (id, week) = (self.drafts[draft].id.clone(), self.drafts[draft].week);
        let path = format!("/v1/settlements/{id}/posting");
        let reply = self.outfit.bookkeeper.put(&path);
        let new = self.answered(&reply, predicted)?;
        if predicted == Ok(200) {
            // Posting twice is posting once, and says the same.
            return same("posted again", &self.drafts[draft].posted, &Some(reply.body)).map(|()| false);
        }
        if !new {
            return Ok(false);
        }
        self.compare_lines(&self.drafts[draft].lines.clone(), &reply.body)?;
        self.compare_pays(&self.drafts[draft].pays.clone(), &reply.body)?;
        same("state", &json!("posted"), &reply.body["state"])?;
        self.drafts[draft].posted = Some(reply.body);
        let statements = self.ledger.post(&self.record, &reckoning, &self.drafts[draft].pays, week);
        let path = format!("/v1/statements?settlement_id={id}&limit=500");
        let listed = self.outfit.bookkeeper.get(&path).expect(200);
        same("statements", &statements, &reading::statements(&self.outfit, &listed))?;
        for item in list(&listed, "items") {
            let path = format!("/v1/statements/{}", text(item, "statement_id"));
            let whole = self.outfit.bookkeeper.get(&path).expect(200);
            let lines: i64 = list(&whole, "lines").iter().map(|line| reading::money(&line["amount"])).sum();
            same("a statement's lines sum to what was earned", &lines, &reading::money(&whole["earned"]))?;
        }
        self.meet("posted");
        Ok(true)
    }

    fn predicted_for_posting(&self, reckoning: &Reckoning, draft: &Draft) -> Result<u16, Code> {
        let week = draft.week;
        if draft.posted.is_some() {
            return Ok(200);
        }
        if self.today() <= week {
            return Err(Code::WeekNotOver);
        }
        if self.ledger.latest.is_some_and(|latest| latest >= week) {
            return Err(Code::WeekPosted);
        }
        if reckoning.unpriced.iter().any(|unpriced| unpriced.day <= week) {
            return Err(Code::UnpricedPieces);
        }
        if let Some(code) = cannot_be_computed(reckoning, week) {
            return Err(code);
        }
        let lines = self.ledger.lines(reckoning, week);
        let pays = self.pays(reckoning, &lines, week);
        if self.ledger.earlier_open_week(&lines, &pays, week).is_some() {
            return Err(Code::EarlierWeekOpen);
        }
        if (&lines, &pays) != (&draft.lines, &draft.pays) {
            return Err(Code::DraftOutOfDate);
        }
        Ok(201)
    }

    /// What everybody's pay ought to be beside the lines.
    pub fn pays(&self, reckoning: &Reckoning, lines: &[Line], week: Day) -> Vec<Pay> {
        pays(&self.record, reckoning, &self.ledger, lines, week)
    }

    fn compare_lines(&mut self, model: &[Line], settlement: &Value) -> Checked {
        let service = reading::lines(&self.outfit, settlement);
        for (at, (model, service)) in model.iter().zip(&service).enumerate() {
            same(&format!("line {}", at + 1), model, service)?;
            let parts: i64 = service.shares.iter().map(|(_, cents)| cents).sum();
            same("the parts sum to the whole", &service.cents, &parts)?;
        }
        same("how many lines", &model.len(), &service.len()).map_err(|counts| {
            let longer = if model.len() > service.len() { model } else { &service };
            let (at, kept) = (model.len().min(service.len()), longer.len());
            format!("{counts}\n  left over of {kept}: {:?}", &longer[at..])
        })?;
        let to = |mills: bool| -> i64 {
            let lines = model.iter().filter(|line| crate::histories::comparing::is_mills(line) == mills);
            lines.map(|line| line.cents).sum()
        };
        same("paid to crews", &to(false), &reading::money(&settlement["paid_to_crews"]))?;
        same("owed by mills", &to(true), &reading::money(&settlement["owed_by_mills"]))?;
        for line in model {
            for (kind, is_it) in crate::histories::comparing::kinds(line) {
                if is_it {
                    self.meet(kind);
                }
            }
        }
        Ok(())
    }
}
