//! What is added to or taken from a contract's scale after a check scale.

use diesel::{BoolExpressionMethods, ExpressionMethods, JoinOnDsl, NullableExpressionMethods, QueryDsl};
use diesel_async::RunQueryDsl;
use jiff::civil::Date;
use kernel::{CheckScaleId, Fixed, Id, ReversalId, TermsId, VolumeAdjustmentId};

use crate::derivation::{small, small_back};
use crate::reversal::{ReversedColumns, reversed};
use crate::schema::{volume_adjustment, volume_adjustment_quantity, volume_adjustment_reversal};
use crate::{Books, Reversed, Stamp, StorageError};

/// What an adjustment adds to one day under one rate.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AdjustedQuantity {
    /// The day of the lot.
    pub scaled_on: Date,
    /// The terms that the rate stands in.
    pub terms: TermsId,
    /// The rate's position in the terms, from 1.
    pub rate_number: u16,
    /// What the lot held of it when the adjustment was filed, in the counted unit.
    pub held: Fixed,
    /// The check's scale over the scaler's, as an exact fraction.
    pub ratio: String,
    /// Held × (ratio - 1), in the counted unit; below zero where it takes away.
    pub quantity: Fixed,
}

/// That a contract's scale is adjusted after a check scale.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct VolumeAdjustment {
    /// Its id.
    pub id: VolumeAdjustmentId,
    /// The check scale.
    pub check_scale: CheckScaleId,
    /// Why.
    pub reason: String,
    /// Why although the contract's tolerance does not ask for it.
    pub although: Option<String>,
    /// What it adds, by day, terms and rate.
    pub quantities: Vec<AdjustedQuantity>,
    /// Who filed it, and when.
    pub made: Stamp,
    /// That it was taken back.
    pub reversed: Option<Reversed>,
}

type Row =
    ((uuid::Uuid, uuid::Uuid, String, Option<String>, jiff_diesel::Timestamp, String), ReversedColumns);

fn unreadable(why: impl std::fmt::Display) -> StorageError {
    StorageError::inconsistent("volume_adjustment", why)
}

impl Books {
    /// Files an adjustment.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database refuses or fails.
    pub async fn add_volume_adjustment(&mut self, new: &VolumeAdjustment) -> Result<(), StorageError> {
        let outfit = self.outfit_uuid();
        diesel::insert_into(volume_adjustment::table)
            .values((
                volume_adjustment::outfit_id.eq(outfit),
                volume_adjustment::volume_adjustment_id.eq(new.id.uuid()),
                volume_adjustment::check_scale_id.eq(new.check_scale.uuid()),
                volume_adjustment::reason.eq(&new.reason),
                volume_adjustment::although.eq(&new.although),
                volume_adjustment::made_at.eq(jiff_diesel::Timestamp::from(new.made.at)),
                volume_adjustment::made_by.eq(&new.made.by),
            ))
            .execute(&mut self.connection)
            .await?;
        let mut rows = Vec::with_capacity(new.quantities.len());
        for one in &new.quantities {
            rows.push((
                volume_adjustment_quantity::outfit_id.eq(outfit),
                volume_adjustment_quantity::volume_adjustment_id.eq(new.id.uuid()),
                volume_adjustment_quantity::scaled_on.eq(jiff_diesel::Date::from(one.scaled_on)),
                volume_adjustment_quantity::terms_id.eq(one.terms.uuid()),
                volume_adjustment_quantity::rate_number.eq(small(one.rate_number)?),
                volume_adjustment_quantity::held.eq(one.held.millionths()),
                volume_adjustment_quantity::ratio.eq(&one.ratio),
                volume_adjustment_quantity::quantity.eq(one.quantity.millionths()),
            ));
        }
        diesel::insert_into(volume_adjustment_quantity::table)
            .values(rows)
            .execute(&mut self.connection)
            .await?;
        Ok(())
    }

    /// Takes an adjustment back.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when it was taken back before, or the database fails.
    pub async fn reverse_volume_adjustment(
        &mut self,
        id: VolumeAdjustmentId,
        reversal: ReversalId,
        reversed: &Reversed,
    ) -> Result<(), StorageError> {
        diesel::insert_into(volume_adjustment_reversal::table)
            .values((
                volume_adjustment_reversal::outfit_id.eq(self.outfit_uuid()),
                volume_adjustment_reversal::volume_adjustment_id.eq(id.uuid()),
                volume_adjustment_reversal::reversal_id.eq(reversal.uuid()),
                volume_adjustment_reversal::reason.eq(&reversed.reason),
                volume_adjustment_reversal::made_at.eq(jiff_diesel::Timestamp::from(reversed.made.at)),
                volume_adjustment_reversal::made_by.eq(&reversed.made.by),
            ))
            .execute(&mut self.connection)
            .await?;
        Ok(())
    }

    /// Every adjustment, or those after one check scale, in the order of filing.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn volume_adjustments(
        &mut self,
        of: Option<CheckScaleId>,
    ) -> Result<Vec<VolumeAdjustment>, StorageError> {
        let outfit = self.outfit_uuid();
        let mut query = volume_adjustment::table
            .left_join(
                volume_adjustment_reversal::table.on(volume_adjustment_reversal::outfit_id
                    .eq(volume_adjustment::outfit_id)
                    .and(
                        volume_adjustment_reversal::volume_adjustment_id
                            .eq(volume_adjustment::volume_adjustment_id),
                    )),
            )
            .filter(volume_adjustment::outfit_id.eq(outfit))
            .order(volume_adjustment::volume_adjustment_id)
            .select((
                (
                    volume_adjustment::volume_adjustment_id,
                    volume_adjustment::check_scale_id,
                    volume_adjustment::reason,
                    volume_adjustment::although,
                    volume_adjustment::made_at,
                    volume_adjustment::made_by,
                ),
                (
                    volume_adjustment_reversal::reason.nullable(),
                    volume_adjustment_reversal::made_at.nullable(),
                    volume_adjustment_reversal::made_by.nullable(),
                ),
            ))
            .into_boxed();
        if let Some(of) = of {
            query = query.filter(volume_adjustment::check_scale_id.eq(of.uuid()));
        }
        let rows = query.load::<Row>(&mut self.connection).await?;
        let ids: Vec<_> = rows.iter().map(|((id, ..), _)| *id).collect();
        let mut quantities = self.adjusted_quantities(&ids).await?;
        Ok(rows
            .into_iter()
            .map(|((id, check_scale, reason, although, at, by), taken_back)| VolumeAdjustment {
                id: VolumeAdjustmentId::from_uuid(id),
                check_scale: CheckScaleId::from_uuid(check_scale),
                reason,
                although,
                quantities: quantities.remove(&id).unwrap_or_default(),
                made: Stamp { at: at.to_jiff(), by },
                reversed: reversed(taken_back),
            })
            .collect())
    }

    async fn adjusted_quantities(
        &mut self,
        ids: &[uuid::Uuid],
    ) -> Result<std::collections::HashMap<uuid::Uuid, Vec<AdjustedQuantity>>, StorageError> {
        let rows: Vec<(uuid::Uuid, jiff_diesel::Date, uuid::Uuid, i16, i64, String, i64)> =
            volume_adjustment_quantity::table
                .filter(volume_adjustment_quantity::outfit_id.eq(self.outfit_uuid()))
                .filter(volume_adjustment_quantity::volume_adjustment_id.eq_any(ids))
                .order((
                    volume_adjustment_quantity::volume_adjustment_id,
                    volume_adjustment_quantity::scaled_on,
                    volume_adjustment_quantity::terms_id,
                    volume_adjustment_quantity::rate_number,
                ))
                .select((
                    volume_adjustment_quantity::volume_adjustment_id,
                    volume_adjustment_quantity::scaled_on,
                    volume_adjustment_quantity::terms_id,
                    volume_adjustment_quantity::rate_number,
                    volume_adjustment_quantity::held,
                    volume_adjustment_quantity::ratio,
                    volume_adjustment_quantity::quantity,
                ))
                .load(&mut self.connection)
                .await?;
        let mut by_id = std::collections::HashMap::<_, Vec<AdjustedQuantity>>::new();
        for (id, day, terms, rate, held, ratio, quantity) in rows {
            by_id.entry(id).or_default().push(AdjustedQuantity {
                scaled_on: day.to_jiff(),
                terms: TermsId::from_uuid(terms),
                rate_number: small_back(rate).map_err(unreadable)?,
                held: Fixed::from_millionths(held),
                ratio,
                quantity: Fixed::from_millionths(quantity),
            });
        }
        Ok(by_id)
    }
}
