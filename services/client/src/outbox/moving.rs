//! Moving entries from place to place. What is moved is written where it goes before it is taken away from where it
//! was: at no moment is it nowhere.

use kernel::Clock;

use super::keeping::{disk, name, written};
use super::{Dropped, Entry, Outbox, OutboxError, Place};

impl Outbox {
    /// Writes an entry anew where it is.
    pub(super) fn rewrite(&self, place: Place, entry: &Entry) -> Result<(), OutboxError> {
        let _writing = self.writing()?;
        self.put(place, entry)
    }

    fn put(&self, place: Place, entry: &Entry) -> Result<(), OutboxError> {
        let shelf = self.shelf(place);
        let put = written(entry).and_then(|text| shelf.put(&name(entry.number), &text));
        put.map_err(disk(shelf.place()))
    }

    /// Moves an entry to a place that counts before the one where it is.
    pub(super) fn move_on(&self, from: Place, to: Place, entry: &Entry) -> Result<(), OutboxError> {
        let _writing = self.writing()?;
        self.put(to, entry)?;
        let shelf = self.shelf(from);
        shelf.remove(&name(entry.number)).map_err(disk(shelf.place()))
    }

    /// Sets aside what waits or was refused. It is not deleted, and never sent.
    ///
    /// # Errors
    ///
    /// [`OutboxError::Elsewhere`] when it was answered or set aside already; [`OutboxError::Busy`] while another program
    /// sends, which may be sending this; otherwise as [`Outbox::find`].
    pub fn set_aside(&self, number: u64, because: &str, clock: &dyn Clock) -> Result<Entry, OutboxError> {
        let _sending = self.only_sender()?;
        let (place, mut entry) = self.find(number)?;
        if !matches!(place, Place::Waiting | Place::Refused) {
            return Err(OutboxError::Elsewhere {
                number,
                place,
                wanted: "only what waits or was refused can be set aside",
            });
        }
        entry.dropped = Some(Dropped { at: clock.now(), because: because.to_owned() });
        self.move_on(place, Place::Dropped, &entry)?;
        Ok(entry)
    }

    /// Puts a refused entry back, to be sent again as it is, after what it needs has come into the books. If it was
    /// set aside by mistake, file it anew.
    ///
    /// # Errors
    ///
    /// [`OutboxError::Elsewhere`] when it was not refused; otherwise as [`Outbox::find`].
    pub fn put_back(&self, number: u64) -> Result<Entry, OutboxError> {
        let _sending = self.only_sender()?;
        let (place, mut entry) = self.find(number)?;
        if place != Place::Refused {
            return Err(OutboxError::Elsewhere {
                number,
                place,
                wanted: "only what was refused can be put back",
            });
        }
        entry.refusal = None;
        self.move_on(Place::Refused, Place::Waiting, &entry)?;
        Ok(entry)
    }
}
