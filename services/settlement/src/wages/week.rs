//! One worker's week: what is added to what the pieces and the clock brought.

use kernel::{Exact, Money, MoneyError};
use serde::{Deserialize, Serialize};

use super::{RateRounding, RestPay, WageTerms};
use crate::{HourlyRate, Hours};

/// What a worker did in a week, and what it brought before anything is added.
///
/// ```
/// use kernel::Money;
/// use settlement::{Hours, WorkedWeek};
/// let hours = |text: &str| serde_json::from_str::<Hours>(text);
/// let week = WorkedWeek {
///     by_pieces: Money::from_minor(49_100, "USD".parse()?),
///     by_time: Money::from_minor(3_200, "USD".parse()?),
///     piece_hours: hours("\"46\"")?,
///     time_hours: hours("\"4\"")?,
///     rest_hours: hours("\"0\"")?,
/// };
/// assert_eq!(week.hours()?.to_string(), "50");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct WorkedWeek {
    /// His shares of what was paid by pieces and volume.
    pub by_pieces: Money,
    /// What was paid by the hour or the day.
    pub by_time: Money,
    /// Hours on piece work, with the waiting that the pieces pay for.
    pub piece_hours: Hours,
    /// Hours that were paid by the hour or the day.
    pub time_hours: Hours,
    /// Hours of rest.
    pub rest_hours: Hours,
}

impl WorkedWeek {
    /// All hours of the week, rest among them.
    ///
    /// # Errors
    ///
    /// [`MoneyError::Number`] when the sum cannot be held.
    pub fn hours(&self) -> Result<Exact, MoneyError> {
        Ok(self.piece_hours.exact().plus(self.time_hours.exact())?.plus(self.rest_hours.exact())?)
    }

    fn working_hours(&self) -> Result<Exact, MoneyError> {
        Ok(self.piece_hours.exact().plus(self.time_hours.exact())?)
    }
}

/// What is added to a worker's week, and how it came about.
///
/// ```
/// use kernel::Money;
/// use settlement::{WageTerms, WorkedWeek, wages};
/// let nothing = Money::zero("USD".parse()?);
/// let hours: settlement::Hours = serde_json::from_str("\"0\"")?;
/// let week = WorkedWeek {
///     by_pieces: nothing, by_time: nothing, piece_hours: hours, time_hours: hours, rest_hours: hours,
/// };
/// // No settings and no hours: nothing is added, and there is no rate to tell.
/// let wages = wages(&WageTerms::default(), &week)?;
/// assert_eq!((wages.added()?, wages.regular_rate), (nothing, None));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct WeekWages {
    /// What brings the pieces up to the guarantee.
    pub guarantee_make_up: Money,
    /// What brings the week up to the minimum.
    pub minimum_make_up: Money,
    /// What rest is paid, where it is paid apart.
    pub rest_pay: Money,
    /// Half the regular rate for each hour of overtime.
    pub overtime_premium: Money,
    /// What an hour of the week brought, as it was used; none without hours.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub regular_rate: Option<Exact>,
    /// The hours past the threshold.
    pub overtime_hours: Exact,
    /// What the law's or the outfit's minimum comes to for the week's hours; zero where none was entered.
    pub minimum: Money,
    /// Each step in words, in order.
    pub working: Vec<String>,
}

impl WeekWages {
    /// All that is added.
    ///
    /// # Errors
    ///
    /// [`MoneyError::Number`] when the sum cannot be held.
    pub fn added(&self) -> Result<Money, MoneyError> {
        self.guarantee_make_up.plus(self.minimum_make_up)?.plus(self.rest_pay)?.plus(self.overtime_premium)
    }
}

/// Works out what is added to a worker's week: make-up to the guarantee, make-up to the minimum, pay for rest, and the
/// premium for overtime, in this order, each on what stands before it. Each amount is rounded once, exact halves away
/// from zero. Nothing is ever taken off here.
///
/// # Errors
///
/// [`MoneyError`] when currencies are mixed or a sum is too large.
///
/// The example of 29 CFR 778.111(a): 491.00 by pieces in 46 hours and 4 hours of waiting at 8.00.
///
/// ```
/// use kernel::{Exact, Money};
/// use settlement::{Hours, WageTerms, WorkedWeek, wages};
/// let dollars = "USD".parse()?;
/// let hours = |text: &str| serde_json::from_str::<Hours>(text);
/// let week = WorkedWeek {
///     by_pieces: Money::from_minor(49_100, dollars),
///     by_time: Money::from_minor(3_200, dollars),
///     piece_hours: hours("\"46\"")?,
///     time_hours: hours("\"4\"")?,
///     rest_hours: hours("\"0\"")?,
/// };
/// let terms: WageTerms = serde_json::from_str(r#"{"overtime": {"after_hours": "40"}}"#)?;
/// let wages = wages(&terms, &week)?;
/// assert_eq!(wages.regular_rate, Some(Exact::fraction(1046, 100)));
/// assert_eq!(wages.overtime_premium.to_string(), "52.30 USD");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn wages(terms: &WageTerms, week: &WorkedWeek) -> Result<WeekWages, MoneyError> {
    let nothing = Money::zero(week.by_pieces.currency());
    let mut wages = WeekWages {
        guarantee_make_up: nothing,
        minimum_make_up: nothing,
        rest_pay: nothing,
        overtime_premium: nothing,
        regular_rate: None,
        overtime_hours: Exact::ZERO,
        minimum: nothing,
        working: Vec::new(),
    };
    if week.hours()?.is_zero() {
        return Ok(wages);
    }
    wages.guarantee(terms, week)?;
    let straight = week.by_pieces.plus(week.by_time)?.plus(wages.guarantee_make_up)?;
    let straight = wages.reach_minimum(terms, week, straight)?;
    let straight = wages.rest(terms, week, straight)?;
    wages.overtime(terms, week, straight)?;
    Ok(wages)
}

impl WeekWages {
    fn guarantee(&mut self, terms: &WageTerms, week: &WorkedWeek) -> Result<(), MoneyError> {
        let Some(rate) = terms.guarantee_an_hour else { return Ok(()) };
        let floor = for_hours(rate, week.piece_hours.exact(), week.by_pieces)?;
        self.guarantee_make_up = missing(floor, week.by_pieces)?;
        if !self.guarantee_make_up.is_zero() {
            self.working.push(format!(
                "guarantee {rate} × {} hours = {floor}; the pieces brought {}: {} is made up",
                week.piece_hours, week.by_pieces, self.guarantee_make_up
            ));
        }
        Ok(())
    }

    /// Makes up to the minimum, and answers with what the week has come to.
    fn reach_minimum(
        &mut self,
        terms: &WageTerms,
        week: &WorkedWeek,
        straight: Money,
    ) -> Result<Money, MoneyError> {
        let Some(rate) = terms.minimum_an_hour else { return Ok(straight) };
        let hours = match terms.rest {
            RestPay::WithThePieces => week.hours()?,
            RestPay::ByTheAverage => week.working_hours()?,
        };
        let floor = for_hours(rate, hours, straight)?;
        self.minimum = for_hours(rate, week.hours()?, straight)?;
        self.minimum_make_up = missing(floor, straight)?;
        if !self.minimum_make_up.is_zero() {
            self.working.push(format!(
                "minimum {rate} × {hours} hours = {floor}; the week brought {straight}: {} is made up",
                self.minimum_make_up
            ));
        }
        straight.plus(self.minimum_make_up)
    }

    fn rest(&mut self, terms: &WageTerms, week: &WorkedWeek, straight: Money) -> Result<Money, MoneyError> {
        let rest = week.rest_hours.exact();
        if terms.rest == RestPay::WithThePieces || rest.is_zero() {
            return Ok(straight);
        }
        let hours = week.working_hours()?;
        let average = if hours.is_zero() { Exact::ZERO } else { an_hour(straight, hours)? };
        let average = carried(average, terms, straight)?;
        let rate = terms.minimum_an_hour.map_or(average, |minimum| average.max(minimum.exact()));
        self.rest_pay = Money::from_exact(rest.times(rate)?, straight.currency())?;
        self.working.push(format!(
            "rest: {straight} ÷ {hours} hours, at least the minimum, makes {rate} an hour; × {rest} hours = {}",
            self.rest_pay
        ));
        straight.plus(self.rest_pay)
    }

    fn overtime(&mut self, terms: &WageTerms, week: &WorkedWeek, straight: Money) -> Result<(), MoneyError> {
        let hours = week.hours()?;
        let rate = carried(an_hour(straight, hours)?, terms, straight)?;
        self.regular_rate = Some(rate);
        let Some(overtime) = terms.overtime else { return Ok(()) };
        let threshold = overtime.after_hours;
        self.overtime_hours = hours.minus(threshold.exact())?.max(Exact::ZERO);
        if self.overtime_hours.is_zero() || rate.is_zero() {
            return Ok(());
        }
        let over = self.overtime_hours;
        let premium = rate.times(over)?.over(Exact::of(2))?;
        self.overtime_premium = Money::from_exact(premium, straight.currency())?;
        self.working.push(format!(
            "overtime: {straight} ÷ {hours} hours = {rate} an hour; half of it × {over} hours past {threshold} = {}",
            self.overtime_premium
        ));
        Ok(())
    }
}

/// An amount as a number of the currency's main unit.
fn exact(money: Money) -> Result<Exact, MoneyError> {
    Ok(Exact::of(money.minor().into()).over(unit(money))?)
}

/// What an hour brought, in the currency's main unit. Never less than nothing: where more was docked than paid, nothing is
/// taken off the pay for rest or the premium for overtime besides.
fn an_hour(straight: Money, hours: Exact) -> Result<Exact, MoneyError> {
    Ok(exact(straight)?.max(Exact::ZERO).over(hours)?)
}

/// How many of the smallest unit make the main one.
fn unit(money: Money) -> Exact {
    Exact::of(10_i128.pow(money.currency().places()))
}

fn for_hours(rate: HourlyRate, hours: Exact, like: Money) -> Result<Money, MoneyError> {
    Money::from_exact(rate.exact().times(hours)?, like.currency())
}

/// What is missing from an amount to a floor.
fn missing(floor: Money, amount: Money) -> Result<Money, MoneyError> {
    let short = floor.minus(amount)?;
    Ok(if short.minor() > 0 { short } else { Money::zero(amount.currency()) })
}

/// The regular rate as the settings carry it on.
fn carried(rate: Exact, terms: &WageTerms, like: Money) -> Result<Exact, MoneyError> {
    match terms.regular_rate {
        RateRounding::Exact => Ok(rate),
        RateRounding::HalfUpToTheCent => exact(Money::from_exact(rate, like.currency())?),
    }
}
