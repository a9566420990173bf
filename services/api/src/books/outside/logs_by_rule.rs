//! The logs of some tickets by species and by the rule that scaled them, and what is on the tickets besides.

use std::collections::BTreeMap;

use kernel::{Fixed, NumberError, Product, VolumeUnit};
use scaling::LogRule;
use storage::ScaledWood;
use wire::{LeftOut, OverrunScale};

use crate::books::entitling::TermsById;
use crate::http::refusal::Refusal;

/// Which rule, as papers name it, and in which unit.
type RuleAndUnit = (String, VolumeUnit);

/// Logs by species and rule.
#[derive(Debug, Default)]
pub struct LogsByRule {
    by_species: BTreeMap<String, BTreeMap<RuleAndUnit, OverrunScale>>,
    rules: BTreeMap<String, LogRule>,
    left_out: BTreeMap<String, i64>,
}

/// What a piece that was not delivered, or that no contract scaled, is called.
#[derive(Clone, Copy, Debug)]
pub struct Side {
    /// Whose scale it is: "the mill's contract".
    pub scale: &'static str,
    /// Whether pieces that were kept from delivery are none of it.
    pub delivered_only: bool,
}

impl LogsByRule {
    /// Sorts pieces.
    ///
    /// # Errors
    ///
    /// [`wire::Code::TooLarge`]; [`wire::Code::Internal`] when terms are not there.
    pub fn sort<'a>(
        wood: impl Iterator<Item = &'a ScaledWood>,
        terms: &TermsById,
        side: Side,
    ) -> Result<Self, Refusal> {
        let mut sorted = Self::default();
        for one in wood {
            sorted.add(one, terms, side)?;
        }
        Ok(sorted)
    }

    fn add(&mut self, one: &ScaledWood, terms: &TermsById, side: Side) -> Result<(), Refusal> {
        let left_out = match (one.product, one.terms, one.unit) {
            (Product::HewnTimber, ..) => Some("hewn timber, which is no log".to_owned()),
            (Product::Tie, ..) => Some("ties, which are no logs".to_owned()),
            (Product::Pole, ..) => Some("poles and piling, which are no saw logs".to_owned()),
            (Product::RankedPile, ..) => Some("ranked piles, which are no saw logs".to_owned()),
            (Product::Log, ..) if side.delivered_only && one.kept_from_delivery => {
                Some("logs that were set aside and not paid for as delivered".to_owned())
            }
            (Product::Log, None, _) => Some(format!("logs that {} does not scale", side.scale)),
            (Product::Log, Some(_), None) => Some(format!("logs without a volume under {}", side.scale)),
            (Product::Log, Some(_), Some(_)) => None,
        };
        if let Some(says) = left_out {
            *self.left_out.entry(says).or_default() += one.pieces;
            return Ok(());
        }
        let (Some(id), Some(unit)) = (one.terms, one.unit) else { return Ok(()) };
        let practice = terms.get(&id).and_then(|terms| terms.practice.log.as_ref());
        let practice = practice.ok_or_else(|| Refusal::internal(format!("terms {id} scale no logs")))?;
        let rule = practice.rule_named();
        self.rules.insert(rule.clone(), practice.rule());
        let scale = self.by_species.entry(one.species.clone()).or_default();
        let scale = scale.entry((rule.clone(), unit)).or_insert_with(|| nothing(rule, unit));
        add(scale, (one.pieces, one.culls), (one.gross, one.net))?;
        Ok(())
    }

    /// The species, in small letters, in the order of their names.
    pub fn species(&self) -> impl Iterator<Item = &str> {
        self.by_species.keys().map(String::as_str)
    }

    /// The scale of one species, by rule.
    #[must_use]
    pub fn of_species(&self, species: &str) -> Vec<OverrunScale> {
        self.by_species.get(species).map(|scales| scales.values().cloned().collect()).unwrap_or_default()
    }

    /// The scale of all species together, by rule.
    ///
    /// # Errors
    ///
    /// [`wire::Code::TooLarge`].
    pub fn of_all(&self) -> Result<Vec<OverrunScale>, Refusal> {
        let mut all: BTreeMap<RuleAndUnit, OverrunScale> = BTreeMap::new();
        for one in self.by_species.values().flat_map(BTreeMap::values) {
            let sum = all.entry((one.rule.clone(), one.unit));
            let sum = sum.or_insert_with(|| nothing(one.rule.clone(), one.unit));
            add(sum, (one.logs, one.culls), (one.gross, one.net))?;
        }
        Ok(all.into_values().collect())
    }

    /// The rules that scaled the logs, each as papers name it.
    #[must_use]
    pub const fn rules(&self) -> &BTreeMap<String, LogRule> {
        &self.rules
    }

    /// What is on the tickets besides.
    #[must_use]
    pub fn left_out(&self) -> Vec<LeftOut> {
        let one = |(says, pieces): (&String, &i64)| LeftOut { says: says.clone(), pieces: *pieces };
        self.left_out.iter().map(one).collect()
    }
}

const fn nothing(rule: String, unit: VolumeUnit) -> OverrunScale {
    OverrunScale { rule, unit, logs: 0, culls: 0, gross: Fixed::ZERO, net: Fixed::ZERO }
}

fn add(
    scale: &mut OverrunScale,
    (logs, culls): (i64, i64),
    (gross, net): (Fixed, Fixed),
) -> Result<(), NumberError> {
    scale.logs = scale.logs.saturating_add(logs);
    scale.culls = scale.culls.saturating_add(culls);
    scale.gross = scale.gross.plus(gross)?;
    scale.net = scale.net.plus(net)?;
    Ok(())
}
