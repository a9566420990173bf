//! Whether a piece is cull: refused, too small, or with too little sound wood.

use kernel::Exact;

use super::Scale;
use crate::says::later;
use crate::working::{Plain, Recorder};
use crate::{FigureUnit, LogPractice, Refusal, ScaleProblem, Step, StepKind};

/// Notes an inspector's refusal; its reason is the reason the piece is cull.
pub(super) fn refusal(refused: Option<&Refusal>, recorder: &mut impl Recorder) -> Option<String> {
    let reason = refused?;
    recorder.record(|| Step::new(StepKind::Refusal, format!("refused on inspection: {reason}")));
    Some(format!("refused: {reason}"))
}

/// Holds a log against the least size of its contract.
pub(super) fn least_size(
    practice: &LogPractice,
    diameter: Exact,
    length: Exact,
    recorder: &mut impl Recorder,
) -> Option<String> {
    let thin = practice.least_diameter_in.filter(|least| diameter < least.exact());
    let short = practice.least_length_ft.filter(|least| length < least.exact());
    let reason = match (thin, short) {
        (Some(least), _) => format!("{diameter} inches is under the least diameter of {least} inches"),
        (None, Some(least)) => format!("{length} feet is under the least length of {least} feet"),
        (None, None) => return None,
    };
    recorder.record(|| {
        Step::new(StepKind::LeastSize, format!("cull: {reason}"))
            .maybe_figure("least_diameter_in", thin.map(|least| least.exact()), FigureUnit::Inch)
            .maybe_figure("least_length_ft", short.map(|least| least.exact()), FigureUnit::Foot)
    });
    Some(reason)
}

/// Why a log is cull, if it is: it was found too small, or else its scale has too little sound wood.
pub(super) fn reason(
    practice: &LogPractice,
    too_small: Option<String>,
    scale: Option<&Scale>,
    recorder: &mut impl Recorder,
) -> Result<Option<String>, ScaleProblem> {
    match (too_small, scale) {
        (None, Some(scale)) => too_little_sound(practice, scale, recorder),
        (too_small, _) => Ok(too_small),
    }
}

/// Holds the net scale against the share of gross below which a log is cull: compared exactly, never as a
/// quotient.
fn too_little_sound(
    practice: &LogPractice,
    scale: &Scale,
    recorder: &mut impl Recorder,
) -> Result<Option<String>, ScaleProblem> {
    let least = || practice.cull_share.times(scale.gross);
    // A share is never more than the whole, so a log that lost nothing passes whatever the share comes to.
    let cull = scale.net < scale.gross && scale.net < least()?;
    let (net, gross, share) = (Plain(scale.net), Plain(scale.gross), practice.cull_share);
    recorder.record(|| {
        let least = least();
        let says = later(move || {
            let (is, stands) = if cull { ("cull", "is less") } else { ("not cull", "is not less") };
            match least.map(Plain) {
                Ok(shown) => {
                    format!("{is}: {net} net {stands} than {share} of {gross} gross, which is {shown}")
                }
                Err(problem) => format!("{is}: {net} net {stands} than {share} of {gross} gross; {problem}"),
            }
        });
        Step::new(StepKind::CullTest, says).figure("cull_share", share, FigureUnit::Number).maybe_figure(
            "least_net",
            least.ok(),
            scale.unit.into(),
        )
    });
    Ok(cull.then(|| format!("{net} net is less than {share} of {gross} gross")))
}
