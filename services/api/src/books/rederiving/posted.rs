//! A posted week, everything that was posted before it, and what stood in the books at that moment.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use kernel::{ContractId, DerivationId, SettlementId, TermsId};
use settlement::{Line, LineKey, LineKind, RateSummary, ShareMethod};
use storage::{
    Books, Contract, ContractParty, Moment, Outfit, PostedLine, PostedWeek, SettlementDraft, Terms,
};
use wire::LineView;

use crate::books::adjusting::in_force;
use crate::books::entitling::{TermsById, rate_summary};
use crate::books::names::Names;
use crate::books::sharing::Sharing;
use crate::http::refusal::Refusal;
use crate::routes::outfits::show::own;
use crate::routes::settlements::show::lines;

/// A posted week with what it was computed from.
#[derive(Debug)]
pub struct Posted {
    /// The outfit.
    pub outfit: Outfit,
    /// The draft that was posted.
    pub draft: SettlementDraft,
    /// Its lines as they were drafted, of the contract in question.
    pub drafted: Vec<LineView>,
    /// Its posting.
    pub week: PostedWeek,
    /// When it was posted.
    pub moment: Moment,
    /// Whether there is anything to tell that moment by.
    pub moment_known: bool,
    /// Its lines as they were posted, of the contract in question.
    pub own: Vec<PostedLine>,
    /// The lines posted before.
    pub before: Vec<PostedLine>,
    /// The settlements that were posted before.
    pub earlier: Vec<SettlementId>,
    /// Every terms that a line refers to.
    pub terms: TermsById,
    /// How crews shared at that moment.
    pub sharing: Sharing,
    /// Names for what is said.
    pub names: Names,
}

impl Posted {
    /// Reads it.
    ///
    /// # Errors
    ///
    /// [`wire::Code::NotFound`] when there is no such posted settlement; whatever the books answer.
    pub async fn read(
        books: &mut Books,
        settlement: SettlementId,
        contract: Option<ContractId>,
    ) -> Result<Self, Refusal> {
        let missing = || Refusal::not_found("posted settlement", settlement);
        let outfit = own(books).await?;
        let draft = books.settlement(settlement).await?.ok_or_else(missing)?;
        let mut weeks = books.posted_weeks(Some(draft.week_ends_on)).await?;
        let week = weeks.pop().filter(|last| last.settlement == settlement).ok_or_else(missing)?;
        if let Some(contract) = contract
            && books.contract(contract).await?.is_none()
        {
            return Err(Refusal::not_found("contract", contract));
        }
        let found = books.moment_of(&week).await?;
        let moment = found.unwrap_or(Moment::END);
        let concerns = |line: ContractId| contract.is_none_or(|contract| contract == line);
        let drafted = lines(&draft)?.into_iter().filter(|line| concerns(line.contract_id)).collect();
        let (own, before) = split(books, &week, &weeks).await?;
        let own: Vec<_> = own.into_iter().filter(|line| concerns(line.key.contract)).collect();
        let referred: BTreeSet<TermsId> = own.iter().chain(&before).map(|line| line.key.terms).collect();
        let referred: Vec<_> = referred.into_iter().collect();
        let terms = books.terms_by_id(&referred).await?.into_iter().map(|terms| (terms.id, terms)).collect();
        Ok(Self {
            sharing: sharing_at(books, moment, &week).await?,
            names: Names::read(books).await?,
            earlier: weeks.into_iter().map(|week| week.settlement).collect(),
            moment_known: found.is_some(),
            outfit,
            draft,
            drafted,
            week,
            moment,
            own,
            before,
            terms,
        })
    }

    /// What is said of a line's rate; none when its terms are not there, or have no such rate.
    pub fn rate(&self, key: &LineKey) -> Option<RateSummary> {
        rate_summary(&self.terms, key).ok()
    }

    /// The lines that were posted before for the same work.
    pub fn before(&self, key: LineKey) -> Vec<PostedLine> {
        self.before.iter().filter(|line| line.key == key).cloned().collect()
    }

    /// What a line and those before it count, taken together: entered and not withdrawn.
    pub fn counted(&self, line: &PostedLine) -> BTreeSet<DerivationId> {
        let mut counted = BTreeSet::new();
        for one in self.before.iter().filter(|one| one.key == line.key).chain([line]) {
            for gone in &one.withdrawn {
                counted.remove(gone);
            }
            counted.extend(&one.entered);
        }
        counted
    }

    /// A posted line as the journal and the pay take it: with what it changed, and nothing of how it came about.
    pub fn as_line(&self, line: &PostedLine) -> Option<Line> {
        let currency = self.outfit.currency;
        let money = |minor| kernel::Money::from_minor(minor, currency);
        let nothing = settlement::Figures::nothing(currency);
        Some(Line {
            kind: LineKind::Regular,
            key: line.key,
            rate: self.rate(&line.key)?,
            change: settlement::Figures {
                quantity: line.quantity,
                pieces: line.pieces,
                amount: money(line.amount_minor),
                by_payee: line
                    .by_payee
                    .iter()
                    .map(|(payee, minor)| settlement::PayeeAmount { payee: *payee, amount: money(*minor) })
                    .collect(),
            },
            now: nothing.clone(),
            formerly: nothing,
            shares: Vec::new(),
            entered: line.entered.clone(),
            withdrawn: line.withdrawn.clone(),
        })
    }
}

/// The lines of a week, and those of the weeks posted before it, each in the order of posting.
async fn split(
    books: &mut Books,
    week: &PostedWeek,
    earlier: &[PostedWeek],
) -> Result<(Vec<PostedLine>, Vec<PostedLine>), Refusal> {
    let order: HashMap<SettlementId, usize> =
        earlier.iter().enumerate().map(|(place, week)| (week.settlement, place)).collect();
    let all = books.posted_lines(None, Some(week.week_ends_on)).await?;
    let (own, rest): (Vec<_>, Vec<_>) = all.into_iter().partition(|line| line.settlement == week.settlement);
    let mut before: Vec<_> = rest.into_iter().filter(|line| order.contains_key(&line.settlement)).collect();
    before.sort_by_key(|line| (order.get(&line.settlement).copied(), line.number));
    Ok((own, before))
}

/// How crews shared at a moment.
async fn sharing_at(books: &mut Books, moment: Moment, week: &PostedWeek) -> Result<Sharing, Refusal> {
    let mut sets = books.share_sets(None).await?;
    sets.retain(|set| moment.is_after(set.id));
    let hours = match sets.iter().any(|set| set.method == ShareMethod::ByHours) {
        true => books.hours_at(moment, week.week_ends_on).await?,
        false => Vec::new(),
    };
    Ok(Sharing::of(sets, hours))
}

/// The contracts of lines with their terms as they had been filed by some moment.
#[derive(Debug)]
pub struct Agreements {
    /// With whom each contract is.
    pub parties: HashMap<ContractId, ContractParty>,
    /// Every terms by id, whenever they were filed.
    pub terms: HashMap<TermsId, Terms>,
    /// The ids of those that had been filed by the moment, by contract.
    filed: BTreeMap<ContractId, Vec<TermsId>>,
}

impl Agreements {
    /// Reads those of the contracts that lines name.
    ///
    /// # Errors
    ///
    /// Whatever the books answer.
    pub async fn read(books: &mut Books, posted: &Posted) -> Result<Self, Refusal> {
        let contracts: BTreeSet<ContractId> = posted.own.iter().map(|line| line.key.contract).collect();
        let contracts: Vec<_> = contracts.into_iter().collect();
        let terms = books.terms_of(&contracts).await?;
        let mut filed: BTreeMap<ContractId, Vec<TermsId>> = BTreeMap::new();
        for one in terms.iter().filter(|one| posted.moment.is_after(one.id)) {
            filed.entry(one.contract).or_default().push(one.id);
        }
        let party = |contract: &&Contract| (contract.id, contract.party);
        Ok(Self {
            parties: posted.names.contracts().iter().map(party).collect(),
            terms: terms.into_iter().map(|terms| (terms.id, terms)).collect(),
            filed,
        })
    }

    /// The terms that held for a day when the week was posted.
    pub fn in_force(&self, contract: ContractId, day: jiff::civil::Date) -> Option<TermsId> {
        let filed = self.filed.get(&contract)?.iter().filter_map(|id| self.terms.get(id));
        in_force(filed, day).map(|terms| terms.id)
    }
}
