//! The kinds of exceptions: what each means, how it is found, what to do.

use serde::{Deserialize, Serialize};

/// Declares the kinds, each with its name, what it means, how it is found and what to do about it.
macro_rules! kinds {
    ($($variant:ident = $name:literal: $means:literal, $found_by:literal, $what_to_do:literal;)+) => {
        /// The kinds of exceptions. `summarize_exceptions` tells of each what it means, how it is found and what to do.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
        #[serde(rename_all = "snake_case")]
        #[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
        pub enum ExceptionKind {
            $(#[doc = $means] $variant,)+
        }

        impl ExceptionKind {
            /// Every kind, in the order in which they are listed.
            pub const ALL: &'static [Self] = &[$(Self::$variant,)+];

            /// The name, as in JSON.
            ///
            /// ```
            /// assert_eq!(wire::ExceptionKind::LateTicket.name(), "late_ticket");
            /// ```
            #[must_use]
            pub const fn name(self) -> &'static str {
                match self {
                    $(Self::$variant => $name,)+
                }
            }

            /// What it means.
            #[must_use]
            pub const fn means(self) -> &'static str {
                match self {
                    $(Self::$variant => $means,)+
                }
            }

            /// How it is found.
            #[must_use]
            pub const fn found_by(self) -> &'static str {
                match self {
                    $(Self::$variant => $found_by,)+
                }
            }

            /// What to do about one.
            #[must_use]
            pub const fn what_to_do(self) -> &'static str {
                match self {
                    $(Self::$variant => $what_to_do,)+
                }
            }
        }
    };
}

kinds! {
    PiecePaidTwice = "piece_paid_twice":
        "A stick that is paid for more than once for one task.",
        "Its stick number has a price for the task on two standing tickets of the job; for skidding, loading and hauling \
         on tickets of one landing, since from another landing it is a second leg. Or two crews or rates count it on one \
         ticket, not in parts; or settlements took its count in more often than they took it back.",
        "Correct the ticket that is wrong: the next settlement takes back what it paid. If two sticks bear one number, \
         correct the number.";
    PieceNeverPaid = "piece_never_paid":
        "Work on a stick that nobody was paid for, though nobody decided so.",
        "A task on a standing ticket that no rate counted and that is not listed as unpriced either; or a count that \
         settlements covering its day were posted without; or a stick number that was moved or delivered though no stick \
         of that number, nor its log, was felled, on a job that numbers what it fells and pays for felling.",
        "File terms that cover it, or the missing ticket. The first two ways cannot come about through this service: find \
         out who changed the database.";
    SkiddedMoreThanFelled = "skidded_more_than_felled":
        "More sticks were skidded than were felled or hewn.",
        "By job, product and species, from the first ticket to the last day of the span: sticks that standing tickets have \
         skidded, against sticks they have felled or hewn; a stick number counts once. Only for a product whose felling or \
         hewing the job records.",
        "Look for felling that was not written down, a load that was scaled twice, or a species that was called by two \
         names.";
    LogAlsoPaidAsLog = "log_also_paid_as_log":
        "A hewn piece is paid for, and its log was paid for as a log as well.",
        "The log that `hewn_from` names has a price for skidding, loading, hauling or delivery on a standing ticket of the \
         job, though timber is hewn where the tree fell; or for a task (felling, bucking, peeling) that is paid on the hewn \
         piece, too. Felling paid on the log and hewing paid on the timber are two tasks, and no exception. Where logs are \
         dragged to a place where they are hewn, the dragging shows here.",
        "Correct the ticket on which the log should not be, or the number.";
    TurnWithoutTicket = "turn_without_ticket":
        "More turns were counted on a day than there are tickets.",
        "The standing count of a job, day and crew or mill (`file_turn_count`) is above the number of standing tickets of \
         that job and day that tell of a turn which the crew moved, or which was delivered to the mill.",
        "Find the missing ticket, or file the count anew.";
    TicketWithoutCountedTurn = "ticket_without_counted_turn":
        "More tickets tell of a turn than turns were counted that day.",
        "As `turn_without_ticket`, the other way round. A day that nobody counted on is not judged.",
        "Look for a load that was written twice or on a wrong day, or file the count anew.";
    ScaleBookGap = "scale_book_gap":
        "Numbers are missing from a scale book.",
        "Between two numbers of a book that are used or void there are others that are neither, and the days of those two \
         reach into the span.",
        "Find the sheet and post it, or void the numbers with a reason.";
    ScaleBookRepeat = "scale_book_repeat":
        "One load stands in the scale books twice.",
        "Two standing tickets of a job and day hold the same sticks, reading for reading in the same order, for the same \
         task; at least three of them are different. Sticks with numbers are found by those. A number that is used twice \
         is refused when it comes, so it is not found here.",
        "Correct one of the two so that it has no pieces.";
    UnpricedPiece = "unpriced_piece":
        "Work that no rate covers, which holds up its week.",
        "It is listed by `list_unpriced`.",
        "File terms that cover it, or set it aside with a reason.";
    SetAsidePiece = "set_aside_piece":
        "Work that somebody decided not to pay by the piece.",
        "A decision (`set_aside`) on a standing ticket.",
        "See whether the reason holds. File terms that cover it if not.";
    LateTicket = "late_ticket":
        "A ticket came after its week had been posted.",
        "When it was accepted, a settlement that covers its day had been posted.",
        "Ask why. It is paid by the next settlement.";
    CorrectedAfterPosting = "corrected_after_posting":
        "A ticket was corrected after its week had been posted.",
        "A settlement had taken the wrong ticket in, or one that covers its day had been posted.",
        "Read the reason and both tickets. The next settlement posts the difference.";
    VolumeStandsOut = "volume_stands_out":
        "A volume stands out for its scaler, species or size.",
        "By the modified z-score, in groups of ten figures or more. Scaler: the share of gross scale that he takes off for \
         defect, over all his tickets of a species, against the tickets of the other scalers, and at least a twentieth of \
         the scale away from their median. Species: the diameter of a log against those of its species. Size: a log's \
         gross scale for each foot of length against logs of the same diameter, length and terms. The last two only \
         beyond twice the median or below half of it. Nothing is wrong with a large log: somebody looks.",
        "Read the stick's working, or have a sample scaled again by somebody else.";
    HewnYieldStandsOut = "hewn_yield_stands_out":
        "A hewn piece is more than its log could give, or far less than it should.",
        "Its section against the square inscribed in its log at the same place: the log that `hewn_from` names, or the \
         tie's own log diameter. Too much: the diagonal of a piece without wane, or the wood of one with wane, would not go \
         into the log even if that was read an inch short; or the piece is longer than its log. Too little: below the \
         square of two thirds of the diameter, and low by the modified z-score among ten pieces of the product or more.",
        "Measure both again. A wrong number in `hewn_from` shows here, too.";
}
