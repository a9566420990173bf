//! What is held against the model after every step, besides what the step itself answered.

use std::collections::BTreeMap;

use serde_json::Value;

use crate::facts::calendar::Day;
use crate::histories::history::{Checked, History, same};
use crate::reckoning::earning::{Kind, Payee, Scale, Side};
use crate::reckoning::keeping_back::{For, held, outstanding};
use crate::reckoning::ledger::{AuditedPay, Line, audit, earned_up_to, without_zeros};
use crate::reckoning::pay::Pay;
use crate::service::outfit::{MILLS, WORKERS};
use crate::service::reading;

/// Whether a line is a mill's.
pub fn is_mills(line: &Line) -> bool {
    matches!(line.key.side, Side::Mill(_))
}

/// The kinds of line that are worth meeting, and which of them a line is.
pub fn kinds(line: &Line) -> [(&'static str, bool); 11] {
    let changed = line.quantity != 0 || line.cents != 0 || line.shares.iter().any(|(_, cents)| *cents != 0);
    let uneven = line.shares.first().is_some_and(|first| line.shares.iter().any(|other| other.1 != first.1));
    [
        ("a regular line", line.is_regular),
        ("an adjustment", !line.is_regular),
        ("an adjustment that takes money back", !line.is_regular && line.cents < 0),
        ("an adjustment of a line that stays", line.formerly.0 != 0 && line.now.0 != 0),
        ("a line that changes tickets and no figure", !changed && !line.is_regular),
        ("a line below zero", line.is_regular && line.cents < 0),
        ("a part that does not come out even", line.quantity % 1000 != 0),
        ("a line of a member's time", matches!(line.key.side, Side::Member(_))),
        ("a line shared by hours", line.parts_by_hours.len() > 1),
        ("a line of no money", line.is_regular && line.cents == 0),
        ("a line shared unevenly", uneven),
    ]
}

impl History {
    /// Holds the books as they stand against the model; the audit is of all weeks, of the last or of the first, by turns.
    pub fn compare(&mut self, turn: usize) -> Checked {
        let week = self.today().week_end();
        let settled = self.journal.balances(&self.outfit);
        same("journal entries out of balance", &0, &self.journal.unbalanced())?;
        same("balances by the journal", &self.ledger.balances(&self.record), &settled)?;
        if turn.is_multiple_of(3) {
            self.compare_balances()?;
        }
        if let Some(draft) = self.draft(week)? {
            // Pay equals the record: what was settled and what the week would add is what the record comes to, with
            // what was kept back and what was paid out put back again.
            let mut pay = settled;
            for (payee, cents) in self.kept_and_moved() {
                *pay.entry(payee).or_default() += cents;
            }
            for (payee, cents) in self.drafts[draft].lines.iter().flat_map(|line| &line.shares) {
                *pay.entry(*payee).or_default() += cents;
            }
            for beside in &self.drafts[draft].pays {
                *pay.entry(Payee::Worker(beside.worker)).or_default() += beside.added();
            }
            same(
                "settled and to come",
                &earned_up_to(&self.record, &self.reckoning(), week),
                &without_zeros(pay),
            )?;
            let first = Day(-1).week_end();
            let (from, to) = [(first, week), (week, week), (first, first)][turn % 3];
            self.audit(from, to)?;
        }
        Ok(())
    }

    /// Holds everybody's pay beside the lines against the model, and the sums of all of it.
    pub fn compare_pays(&mut self, model: &[Pay], settlement: &Value) -> Checked {
        let service = reading::pays(&self.outfit, settlement);
        for (model, service) in model.iter().zip(&service) {
            same("a worker's pay", model, service)?;
        }
        same("how many are paid", &model.len(), &service.len())?;
        let added: i64 = model.iter().map(Pay::added).sum();
        same("added to pay", &added, &reading::money(&settlement["added_to_pay"]))?;
        let kept: i64 = model.iter().map(Pay::kept).sum();
        same("kept back", &kept, &reading::money(&settlement["kept_back"]))?;
        for one in model.iter().flat_map(|pay| &pay.kept_back) {
            self.meet(one.kind());
        }
        for one in model.iter().flat_map(|pay| &pay.supplements) {
            let kind = if one.is_regular { "added" } else { "added to a past week" };
            self.meet(format!("{kind}: {:?}", one.what));
        }
        Ok(())
    }

    /// What everybody was kept back, less what came and went beside the settlements.
    fn kept_and_moved(&self) -> BTreeMap<Payee, i64> {
        let mut sums: BTreeMap<Payee, i64> = BTreeMap::new();
        for ((worker, _), cents) in &self.ledger.kept {
            *sums.entry(Payee::Worker(*worker)).or_default() += cents;
        }
        for payee in (0..WORKERS).map(Payee::Worker).chain((0..MILLS).map(Payee::Mill)) {
            *sums.entry(payee).or_default() -= self.record.money.moved(payee);
        }
        sums
    }

    /// Holds the balances that the service tells against the model: what is owed, held back, and advanced.
    fn compare_balances(&mut self) -> Checked {
        let shown = self.outfit.bookkeeper.get("/v1/balances?on=2026-07-31").expect(200);
        let mut model: BTreeMap<Payee, [i64; 3]> = BTreeMap::new();
        for (payee, cents) in self.ledger.balances(&self.record) {
            model.entry(payee).or_default()[0] = cents;
        }
        for worker in 0..WORKERS {
            let contracts = 0..self.record.contracts.len();
            let held: i64 =
                contracts.map(|contract| held(&self.record, &self.ledger, worker, contract)).sum();
            let advances = self.record.money.advances.iter().enumerate();
            let own = advances.filter(|(_, one)| one.worker == worker);
            let left = |place| outstanding(&self.record, &self.ledger, For::Advance(place));
            let advanced: i64 = own.map(|(place, _)| left(place)).sum();
            let standing = model.entry(Payee::Worker(worker)).or_default();
            (standing[1], standing[2]) = (held, advanced);
        }
        model.retain(|_, standing| *standing != [0; 3]);
        same("balances", &model, &reading::balances(&self.outfit, &shown))
    }

    /// Audits weeks and holds the audit against the model.
    fn audit(&mut self, from: Day, to: Day) -> Checked {
        let path = format!("/v1/audit/volume-against-pay?from={from}&to={to}");
        let shown = self.outfit.bookkeeper.get(&path).expect(200);
        let reckoning = self.reckoning();
        let mut pay: BTreeMap<usize, Vec<(usize, AuditedPay)>> = BTreeMap::new();
        for ((contract, _, rate), row) in audit(&self.ledger, &reckoning, from, to) {
            pay.entry(contract).or_default().push((rate, row));
        }
        let what = format!("audit of the weeks from {from} to {to}");
        same(&what, &pay, &reading::audited_pay(&self.outfit, &shown))?;
        let mut scale: BTreeMap<(usize, Kind), Scale> = BTreeMap::new();
        for ((day, contract, kind), on_day) in &reckoning.scale {
            if (from.0 - 6..=to.0).contains(&day.0) {
                let sum = scale.entry((*contract, *kind)).or_default();
                sum.sticks += on_day.sticks;
                sum.culls += on_day.culls;
                sum.gross += on_day.gross;
                sum.net += on_day.net;
            }
        }
        same(&format!("volumes in the {what}"), &scale, &reading::audited_scale(&self.outfit, &shown))?;
        let within = reckoning.unpriced.iter().filter(|one| one.day.0 >= from.0 - 6 && one.day <= to);
        same(&format!("unpriced in the {what}"), &serde_json::json!(within.count()), &shown["unpriced"])
    }
}
