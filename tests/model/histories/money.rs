//! Steps about money: made up, carried out, and filed on both sides at once.

use proptest::prelude::*;
use serde_json::Value;
use wire::Code;

use crate::facts::calendar::Day;
use crate::facts::money::{Advance, Charge, MoneyRecord, Payee, Payment, Recovery, Release};
use crate::histories::carrying_out::turn_of;
use crate::histories::history::{Checked, History};
use crate::reckoning::keeping_back::{For, held};
use crate::service::forms_of_money as forms;
use crate::service::outfit::{MILLS, WORKERS, text};

/// Something about money; the day is so many days ago, an amount that is to be found is so many hundredths of it.
#[derive(Clone, Debug)]
pub enum MoneyStep {
    Charge { days_ago: i64, charge: Charge },
    Advance { days_ago: i64, advance: Advance },
    Pay { payee: usize, hundredths: i64 },
    Release { which: usize, hundredths: i64 },
    Reverse { which: usize },
}

pub fn money() -> impl Strategy<Value = MoneyStep> {
    let days_ago = || prop_oneof![1 => Just(-4_i64), 8 => 0..=5_i64, 2 => 6..=15_i64];
    let dated = Day(0);
    let most = prop::option::weighted(0.5, 1..60_i64);
    let charge = (days_ago(), 0..WORKERS, any::<bool>(), 1..300_i64, most, any::<bool>()).prop_map(
        move |(days_ago, worker, is_board, cents, most_a_week, cuts)| {
            let cuts_into_minimum = is_board && cuts;
            let charge = Charge { worker, dated, is_board, cents, most_a_week, cuts_into_minimum };
            MoneyStep::Charge { days_ago, charge }
        },
    );
    let recovery = prop_oneof![
        1 => Just(Recovery::Whole),
        1 => (1..80_i64).prop_map(Recovery::MostAWeek),
        2 => (1..=10_000_i64).prop_map(Recovery::PartOfPay),
    ];
    let advance = (days_ago(), 0..WORKERS, 1..400_i64, recovery).prop_map(
        move |(days_ago, worker, cents, recovery)| MoneyStep::Advance {
            days_ago,
            advance: Advance { worker, dated, cents, recovery },
        },
    );
    let hundredths = || 10..=120_i64;
    prop_oneof![
        5 => charge,
        5 => advance,
        3 => (0..WORKERS + MILLS, hundredths())
            .prop_map(|(payee, hundredths)| MoneyStep::Pay { payee, hundredths }),
        2 => (0..1000_usize, hundredths())
            .prop_map(|(which, hundredths)| MoneyStep::Release { which, hundredths }),
        4 => (0..1000_usize).prop_map(|which| MoneyStep::Reverse { which }),
    ]
}

impl History {
    pub fn move_money(&mut self, step: &MoneyStep) -> Checked {
        match step {
            MoneyStep::Charge { days_ago, charge } => {
                let dated = Day(self.today().0 - days_ago);
                self.charge(&Charge { dated, ..charge.clone() })
            }
            MoneyStep::Advance { days_ago, advance } => {
                let dated = Day(self.today().0 - days_ago);
                self.advance(&Advance { dated, ..advance.clone() })
            }
            MoneyStep::Pay { payee, hundredths } => {
                let payee =
                    if *payee < WORKERS { Payee::Worker(*payee) } else { Payee::Mill(payee - WORKERS) };
                let balance = self.ledger.balance(&self.record, payee);
                let (dated, cents) = (self.today(), (balance * hundredths / 100).max(1));
                self.payment(&Payment { payee, dated, cents })
            }
            MoneyStep::Release { which, hundredths } => self.let_go(*which, *hundredths),
            MoneyStep::Reverse { which } => {
                let records = self.record.money.records();
                turn_of(*which, records.len()).map_or(Ok(()), |which| self.reverse(records[which]))
            }
        }
    }

    fn charge(&mut self, charge: &Charge) -> Checked {
        let form = forms::charge(&self.outfit, charge);
        if let Some(reply) = self.filed("/v1/charges", &form, Ok(201))? {
            self.outfit.charges.push(text(&reply, "charge_id"));
            self.record.money.charges.push(charge.clone());
        }
        Ok(())
    }

    fn advance(&mut self, advance: &Advance) -> Checked {
        let form = forms::advance(&self.outfit, advance);
        if let Some(reply) = self.filed("/v1/advances", &form, Ok(201))? {
            self.outfit.advances.push(text(&reply, "advance_id"));
            self.record.money.advances.push(advance.clone());
        }
        Ok(())
    }

    fn payment(&mut self, payment: &Payment) -> Checked {
        let form = forms::payment(&self.outfit, payment);
        if let Some(reply) = self.filed("/v1/payments", &form, Ok(201))? {
            self.outfit.payments.push(text(&reply["payment"], "payment_id"));
            self.record.money.payments.push(payment.clone());
        }
        Ok(())
    }

    /// Lets go of something that is held, if anything is; sometimes of more than there is.
    fn let_go(&mut self, which: usize, hundredths: i64) -> Checked {
        let kept = self.ledger.kept.keys();
        let holdbacks: Vec<(usize, usize)> = kept
            .filter_map(
                |(worker, what)| if let For::Holdback(of) = what { Some((*worker, *of)) } else { None },
            )
            .collect();
        let Some(which) = turn_of(which, holdbacks.len()) else { return Ok(()) };
        let (worker, contract) = holdbacks[which];
        let there = held(&self.record, &self.ledger, worker, contract);
        let (dated, cents) = (self.today(), (there * hundredths / 100).max(1));
        let release = Release { worker, contract, dated, cents };
        let predicted = if cents > there { Err(Code::MoreThanHeld) } else { Ok(201) };
        let form = forms::release(&self.outfit, &release);
        if let Some(reply) = self.filed("/v1/holdback-releases", &form, predicted)? {
            self.outfit.releases.push(text(&reply, "release_id"));
            self.record.money.releases.push(release);
            self.meet("holdback let go");
        }
        Ok(())
    }

    fn reverse(&mut self, record: MoneyRecord) -> Checked {
        let again = self.record.money.reversed.contains(&record);
        let predicted = if again { Err(Code::ReversedAlready) } else { Ok(201) };
        let form = forms::reversal(&self.outfit, record);
        if self.filed("/v1/reversals", &form, predicted)?.is_some() {
            self.record.money.reversed.push(record);
        }
        Ok(())
    }

    /// Sends what is to be filed; answers with the reply if it was kept.
    fn filed(&mut self, path: &str, form: &Value, predicted: Result<u16, Code>) -> Checked<Option<Value>> {
        let reply = self.outfit.bookkeeper.post(path, form);
        Ok(self.answered(&reply, predicted)?.then_some(reply.body))
    }
}
