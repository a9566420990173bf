//! Which terms of log scaling go together.

use kernel::{Exact, VolumeUnit};

use super::{Division, InchRounding, LengthMultiple, LogPractice, MeasuringSystem, Sources};
use crate::PracticeError;
use crate::rules::Takes;

impl LogPractice {
    pub(super) fn check(&self) -> Result<(), PracticeError> {
        self.check_rule()?;
        self.check_table()?;
        match self.system {
            MeasuringSystem::InchFoot => self.check_inch_foot()?,
            MeasuringSystem::Metric => self.check_metric()?,
        }
        if self.most_trim_in.is_some_and(|most| most < self.least_trim_in) {
            return Err(PracticeError::Trim);
        }
        if self.division == Division::Georgia && self.length_multiple_ft == LengthMultiple::OneFoot {
            return Err(PracticeError::GeorgiaEvenFeet);
        }
        if self.cull_share.is_negative() || self.cull_share > Exact::ONE {
            return Err(PracticeError::CullShare);
        }
        Ok(())
    }

    fn check_rule(&self) -> Result<(), PracticeError> {
        let facts = self.rule.facts();
        match facts.takes {
            Takes::Girth => {
                return Err(PracticeError::NotALogRule(self.rule, "a log's document has no girth"));
            }
            Takes::WidthAndThickness => {
                return Err(PracticeError::NotALogRule(
                    self.rule,
                    "it is for squared timber; use hewn_timber",
                ));
            }
            _ => {}
        }
        let Some(edition) = facts.edition_named(self.edition) else {
            return Err(PracticeError::edition(self.rule));
        };
        if self.sources == Sources::PrintOnly && facts.recalled(edition.name, self.unit) {
            return Err(PracticeError::FromMemory(self.rule));
        }
        Ok(())
    }

    fn check_table(&self) -> Result<(), PracticeError> {
        let is_table = self.rule.facts().is_table;
        if is_table && self.whole_inches == Some(false) {
            return Err(PracticeError::WholeInchTable(self.rule));
        }
        if is_table && self.length_multiple_ft == LengthMultiple::OneFoot {
            return Err(PracticeError::EvenLengthTable(self.rule));
        }
        if self.printed_cells_only && !is_table {
            return Err(PracticeError::NotATable(self.rule));
        }
        Ok(())
    }

    fn check_inch_foot(&self) -> Result<(), PracticeError> {
        if self.metric.is_some() {
            return Err(PracticeError::SystemTerm("metric", "it belongs to the system \"metric\""));
        }
        let offered = self.unit.is_none_or(|unit| self.rule.facts().units.contains(&unit));
        if !offered || self.unit == Some(VolumeUnit::CubicMetre) {
            return Err(PracticeError::Unit(self.rule, "leave it out for the rule's own"));
        }
        Ok(())
    }

    /// A metric practice has none of the terms in inches and feet that say something.
    fn check_metric(&self) -> Result<(), PracticeError> {
        if !self.rule.facts().units.contains(&VolumeUnit::CubicMetre) {
            return Err(PracticeError::Unit(
                self.rule,
                "a metric contract takes a rule that gives cubic metres",
            ));
        }
        if self.unit.is_some_and(|unit| unit != VolumeUnit::CubicMetre) {
            return Err(PracticeError::Unit(self.rule, "a metric contract gives cubic metres"));
        }
        let alternates =
            [self.one_reading, self.two_readings].into_iter().any(|way| way == InchRounding::Alternating);
        let in_inches_and_feet = [
            ("whole_inches", self.whole_inches.is_some()),
            ("one_reading", alternates),
            ("each_reading", self.each_reading.is_some()),
            ("least_trim_in", !self.least_trim_in.fixed().is_zero()),
            ("most_trim_in", self.most_trim_in.is_some()),
            ("taper_in_per_feet", self.taper_in_per_feet.is_some()),
            ("least_top", self.least_top.is_some()),
            ("least_diameter_in", self.least_diameter_in.is_some()),
            ("least_length_ft", self.least_length_ft.is_some()),
            ("waste_inch", self.waste_inch),
            ("kerf_in", self.kerf_in.is_some()),
            ("least_board", self.least_board.is_some()),
            ("length_cut_multiple_ft", self.length_cut_multiple_ft.is_some()),
        ];
        match in_inches_and_feet.into_iter().find(|(_, given)| *given) {
            Some((member, _)) => {
                Err(PracticeError::SystemTerm(member, "it is in inches or feet, and the system is metric"))
            }
            None => Ok(()),
        }
    }
}
