//! Which terms of log scaling go together.

use kernel::{Exact, VolumeUnit};

use super::{
    Division, InchRounding, LengthMultiple, LogPractice, LogRule, MeasuringSystem, Sources, TableTerm,
};
use crate::rules::Takes;
use crate::{PracticeError, RuleName};

impl LogPractice {
    pub(in crate::practice) fn check(&self) -> Result<(), PracticeError> {
        match (self.rule, &self.table) {
            (LogRule::Published(rule), None) => {
                self.check_rule(rule)?;
                self.check_table(rule)?;
            }
            (LogRule::Published(_), Some(_)) => {
                return Err(PracticeError::OwnTable(
                    "table",
                    "it belongs to the rule own-table; leave it out",
                ));
            }
            (LogRule::OwnTable, None) => {
                const NEEDED: &str =
                    "the rule own-table needs one; name it by the table_id it is filed under";
                return Err(PracticeError::OwnTable("table", NEEDED));
            }
            (LogRule::OwnTable, Some(table)) => self.check_own_table(table)?,
        }
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

    fn check_rule(&self, rule: RuleName) -> Result<(), PracticeError> {
        let facts = rule.facts();
        match facts.takes {
            Takes::Girth => {
                return Err(PracticeError::NotALogRule(rule, "a log's document has no girth"));
            }
            Takes::WidthAndThickness => {
                return Err(PracticeError::NotALogRule(rule, "it is for squared timber; use hewn_timber"));
            }
            _ => {}
        }
        let Some(edition) = facts.edition_named(self.edition) else {
            return Err(PracticeError::edition(rule));
        };
        if self.sources == Sources::PrintOnly && facts.recalled(edition.name, self.unit) {
            return Err(PracticeError::FromMemory(rule));
        }
        Ok(())
    }

    fn check_table(&self, rule: RuleName) -> Result<(), PracticeError> {
        let is_table = rule.facts().is_table;
        if is_table && self.whole_inches == Some(false) {
            return Err(PracticeError::WholeInchTable(rule));
        }
        if is_table && self.length_multiple_ft == LengthMultiple::OneFoot {
            return Err(PracticeError::EvenLengthTable(rule));
        }
        if self.printed_cells_only && !is_table {
            return Err(PracticeError::NotATable(rule));
        }
        Ok(())
    }

    fn check_inch_foot(&self) -> Result<(), PracticeError> {
        if self.metric.is_some() {
            return Err(PracticeError::SystemTerm("metric", "it belongs to the system \"metric\""));
        }
        let LogRule::Published(rule) = self.rule else { return Ok(()) };
        let offered = self.unit.is_none_or(|unit| rule.facts().units.contains(&unit));
        if !offered || self.unit == Some(VolumeUnit::CubicMetre) {
            return Err(PracticeError::Unit(rule, "leave it out for the rule's own"));
        }
        Ok(())
    }

    /// An own table brings its system, its unit and its source with it. What can only be told from the table is told
    /// once it is there.
    fn check_own_table(&self, table: &TableTerm) -> Result<(), PracticeError> {
        let refuse = |member, reason| Err(PracticeError::OwnTable(member, reason));
        if self.edition.is_some() {
            return refuse("edition", "an own table has versions and no editions; leave it out");
        }
        if self.sources != Sources::Any {
            return refuse("sources", "the source of an own table is the outfit's word; leave it out");
        }
        if self.printed_cells_only {
            return refuse("printed_cells_only", "all cells of an own table are as filed; leave it out");
        }
        let Some(heading) = table.filed().map(|filed| filed.table.heading()) else { return Ok(()) };
        if self.system != heading.system {
            return refuse(
                "system",
                "the table is in the other system, and nothing converts; write the table's",
            );
        }
        if self.unit.is_some_and(|unit| unit != heading.unit) {
            return refuse("unit", "the table gives another unit; leave it out for the table's own");
        }
        Ok(())
    }

    /// A metric practice has none of the terms in inches and feet that say something.
    fn check_metric(&self) -> Result<(), PracticeError> {
        if let LogRule::Published(rule) = self.rule {
            if !rule.facts().units.contains(&VolumeUnit::CubicMetre) {
                const CUBIC: &str = "a metric contract takes a rule that gives cubic metres";
                return Err(PracticeError::Unit(rule, CUBIC));
            }
            if self.unit.is_some_and(|unit| unit != VolumeUnit::CubicMetre) {
                return Err(PracticeError::Unit(rule, "a metric contract gives cubic metres"));
            }
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
