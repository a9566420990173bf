//! What a contract's tolerance makes of a check scale.

use audit::{CheckOutcome, CheckTolerance, Consequence, Finding, Stratum, ToleranceRule, judge};
use storage::CheckScale;
use wire::CheckVerdictView;

use super::Standard;
use crate::books::adjusting::in_force;
use crate::http::refusal::Refusal;

/// A verdict: the findings of each stratum, in their order.
#[derive(Debug)]
pub struct Verdict {
    tolerance: Option<CheckTolerance>,
    /// What the tolerance finds of each stratum.
    pub findings: Vec<Vec<Finding>>,
    says: Vec<String>,
}

/// Holds each stratum to the tolerance of the terms in force on the lot's last day.
///
/// # Errors
///
/// [`wire::Code::TooLarge`].
pub fn verdict(standard: &Standard, record: &CheckScale, strata: &[Stratum]) -> Result<Verdict, Refusal> {
    let tolerance = in_force(&standard.terms, record.lot.to).and_then(|terms| terms.check_tolerance);
    let mut findings = Vec::with_capacity(strata.len());
    let mut says = Vec::new();
    for stratum in strata {
        let mut found = Vec::new();
        if let Some(rule) = tolerance.map(|tolerance| tolerance.rule())
            && let Some(unit) = stratum.unit
        {
            let (original, check) = (stratum.totals.original, stratum.totals.check);
            let sides = ((original.gross, original.net), (check.gross, check.net));
            found = judge(&rule, sides.0, sides.1).map_err(statistic)?;
            let what = (format!("{}s", stratum.product.words()), unit.words());
            says.extend(found.iter().map(|finding| in_words(finding, &rule, &what)));
        }
        findings.push(found);
    }
    match tolerance {
        None => says.push("the contract states no tolerance for check scales: its words decide".to_owned()),
        Some(CheckTolerance::Own(_)) => says.push("the tolerance is the contract's own".to_owned()),
        Some(CheckTolerance::Published(published)) => {
            let facts = published.facts();
            says.push(format!("the tolerance is that of {}; {}", facts.source, facts.reading));
        }
    }
    Ok(Verdict { tolerance, findings, says })
}

/// A figure that outgrows what is shown.
///
/// # Errors
///
/// None; it makes one.
#[must_use]
pub fn statistic(error: audit::StatisticError) -> Refusal {
    Refusal::new(wire::Code::TooLarge, error.to_string())
}

fn in_words(finding: &Finding, rule: &ToleranceRule, (timber, unit): &(String, &str)) -> String {
    let measure = match finding.measure {
        audit::CheckMeasure::Gross => "gross",
        audit::CheckMeasure::Net => "net",
    };
    let percent = |percent: Option<kernel::Fixed>| match percent {
        None => "no percentage".to_owned(),
        Some(percent) => format!("{percent} percent"),
    };
    let (base, part) = match rule.base {
        audit::PercentBase::Original => ("the original", percent(finding.percent_of_original)),
        audit::PercentBase::Check => ("the check", percent(finding.percent_of_check)),
    };
    let at_limit = match rule.at_limit {
        audit::AtAllowance::Within => "more than that trips",
        audit::AtAllowance::Beyond => "that much trips",
    };
    let outcome = match finding.outcome {
        CheckOutcome::Within => "within".to_owned(),
        CheckOutcome::NotProvidedFor => "as far below the original, for which nothing is provided".to_owned(),
        CheckOutcome::Beyond => format!("beyond: {}", rule.follows.says()),
    };
    format!(
        "{timber}, {measure}, {unit}: {} by the scaler, {} by the check, {} apart, {part} of {base}; {} percent is allowed, \
         {at_limit}: {outcome}",
        finding.original, finding.check, finding.difference, finding.limit_percent
    )
}

impl Verdict {
    /// The worst of all findings.
    #[must_use]
    pub fn outcome(&self) -> Option<CheckOutcome> {
        self.findings.iter().flatten().map(|finding| finding.outcome).max()
    }

    /// What follows when it trips.
    #[must_use]
    pub fn follows(&self) -> Option<Consequence> {
        let follows = self.tolerance.map(|tolerance| tolerance.rule().follows);
        follows.filter(|_| self.outcome() == Some(CheckOutcome::Beyond))
    }

    /// Whether it asks for an adjustment of the volume.
    #[must_use]
    pub fn asks_for_adjustment(&self) -> bool {
        matches!(self.follows(), Some(Consequence::AdjustByDifference | Consequence::Replace))
    }

    /// As it is shown.
    #[must_use]
    pub fn view(&self) -> CheckVerdictView {
        CheckVerdictView {
            tolerance: self.tolerance,
            rule: self.tolerance.map(|tolerance| tolerance.rule()),
            outcome: self.outcome(),
            follows: self.follows(),
            says: self.says.clone(),
        }
    }
}
