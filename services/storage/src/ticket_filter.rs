//! Which tickets a list is to hold.

use diesel::dsl::{exists, not, sql};
use diesel::pg::Pg;
use diesel::sql_types::{Bool, Jsonb, Nullable, Text};
use diesel::{ExpressionMethods, NullableExpressionMethods, QueryDsl};
use jiff::Timestamp;
use jiff::civil::Date;
use kernel::{CrewId, Id, JobId, LandingId, MillId, Product, TicketId};
use settlement::Task;

use crate::schema::{open_unpriced, ticket};

/// Whether a ticket counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TicketStanding {
    /// It counts.
    Standing,
    /// Another took its place.
    Corrected,
    /// It took the place of another and holds nothing.
    Void,
}

/// Which tickets a list is to hold.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct TicketFilter {
    /// Of this job.
    pub job: Option<JobId>,
    /// From this landing.
    pub landing: Option<LandingId>,
    /// With work of this crew.
    pub crew: Option<CrewId>,
    /// With this task among the work; done by the crew that is named, where one is.
    pub task: Option<Task>,
    /// With a piece of this kind.
    pub product: Option<Product>,
    /// With a piece of this species, in whatever letters it was written; of the kind that is named, where one is.
    pub species: Option<String>,
    /// From this scale book.
    pub book: Option<String>,
    /// By this scaler.
    pub scaler: Option<String>,
    /// Scaled on this day or later.
    pub from: Option<Date>,
    /// Scaled on this day or earlier.
    pub to: Option<Date>,
    /// Accepted at this moment or later.
    pub accepted_from: Option<Timestamp>,
    /// Accepted before this moment.
    pub accepted_before: Option<Timestamp>,
    /// Delivered to this mill.
    pub delivered_to: Option<MillId>,
    /// Only those that were delivered to a mill, or only the others.
    pub delivered: Option<bool>,
    /// Only those that no other ticket corrects, whether they hold anything or not.
    pub standing_only: bool,
    /// Only those in this state.
    pub state: Option<TicketStanding>,
    /// Only those with something that nothing pays for, for the mill that is named above if one is.
    pub unpriced_only: bool,
    /// The one that takes the place of this one.
    pub corrects: Option<TicketId>,
    /// Only those accepted after their week was posted, or only the others.
    pub late: Option<bool>,
}

impl TicketFilter {
    /// The outfit's tickets that it leaves.
    pub(crate) fn narrowed(&self, outfit: uuid::Uuid) -> ticket::BoxedQuery<'static, Pg> {
        let mut query =
            self.by_what_was_written(ticket::table.filter(ticket::outfit_id.eq(outfit)).into_boxed());
        let correction = diesel::alias!(ticket as correction);
        let corrected = || {
            exists(
                correction
                    .filter(correction.field(ticket::outfit_id).eq(outfit))
                    .filter(correction.field(ticket::corrects).eq(ticket::ticket_id.nullable())),
            )
        };
        let holds_nothing = || sql::<Bool>("jsonb_array_length(ticket.pieces) = 0");
        if self.standing_only {
            query = query.filter(not(corrected()));
        }
        query = match self.state {
            None => query,
            Some(TicketStanding::Corrected) => query.filter(corrected()),
            Some(TicketStanding::Standing) => query.filter(not(corrected())).filter(not(holds_nothing())),
            Some(TicketStanding::Void) => query.filter(not(corrected())).filter(holds_nothing()),
        };
        if self.unpriced_only {
            let open = open_unpriced::table
                .filter(open_unpriced::outfit_id.eq(outfit))
                .filter(open_unpriced::ticket_id.eq(ticket::ticket_id));
            query = match self.delivered_to {
                None => query.filter(exists(open)),
                Some(mill) => query.filter(exists(open.filter(open_unpriced::mill_id.eq(mill.uuid())))),
            };
        }
        match self.late {
            None => query,
            Some(true) => query.filter(ticket::late_for.is_not_null()),
            Some(false) => query.filter(ticket::late_for.is_null()),
        }
    }

    /// By what stands on the ticket itself.
    fn by_what_was_written(
        &self,
        mut query: ticket::BoxedQuery<'static, Pg>,
    ) -> ticket::BoxedQuery<'static, Pg> {
        if let Some(job) = self.job {
            query = query.filter(ticket::job_id.eq(job.uuid()));
        }
        if let Some(landing) = self.landing {
            query = query.filter(ticket::landing_id.eq(landing.uuid()));
        }
        if self.crew.is_some() || self.task.is_some() {
            let mut its_work = serde_json::Map::new();
            its_work.extend(self.crew.map(|crew| ("crew".to_owned(), serde_json::json!(crew))));
            its_work.extend(self.task.map(|task| ("task".to_owned(), serde_json::json!(task))));
            query =
                query.filter(sql::<Bool>("ticket.work @> ").bind::<Jsonb, _>(serde_json::json!([its_work])));
        }
        if self.product.is_some() || self.species.is_some() {
            query = query.filter(
                sql::<Bool>(
                    "EXISTS (SELECT FROM jsonb_array_elements(ticket.pieces) AS stick (facts)
                             WHERE coalesce(stick.facts ->> 'product' = ",
                )
                .bind::<Nullable<Text>, _>(self.product.map(Product::name))
                .sql(", true) AND coalesce(lower(stick.facts ->> 'species') = lower(")
                .bind::<Nullable<Text>, _>(self.species.clone())
                .sql("), true))"),
            );
        }
        if let Some(book) = &self.book {
            query = query.filter(ticket::book.eq(book.clone()));
        }
        if let Some(scaler) = &self.scaler {
            query = query.filter(ticket::scaler.eq(scaler.clone()));
        }
        if let Some(from) = self.from {
            query = query.filter(ticket::scaled_on.ge(jiff_diesel::Date::from(from)));
        }
        if let Some(to) = self.to {
            query = query.filter(ticket::scaled_on.le(jiff_diesel::Date::from(to)));
        }
        if let Some(from) = self.accepted_from {
            query = query.filter(ticket::accepted_at.ge(jiff_diesel::Timestamp::from(from)));
        }
        if let Some(before) = self.accepted_before {
            query = query.filter(ticket::accepted_at.lt(jiff_diesel::Timestamp::from(before)));
        }
        if let Some(mill) = self.delivered_to {
            query = query.filter(ticket::delivered_to.eq(mill.uuid()));
        }
        query = match self.delivered {
            None => query,
            Some(true) => query.filter(ticket::delivered_to.is_not_null()),
            Some(false) => query.filter(ticket::delivered_to.is_null()),
        };
        if let Some(wrong) = self.corrects {
            query = query.filter(ticket::corrects.eq(wrong.uuid()));
        }
        query
    }
}
