//! Points of Student's t distribution: how wide an interval must be for a stated confidence.

use kernel::Fixed;
use serde::{Deserialize, Serialize};

/// How often an interval made in this way holds the true figure, in the long run.
///
/// ```
/// assert_eq!(audit::Confidence::default().percent(), 95);
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum Confidence {
    /// Nine times in ten.
    Ninety,
    /// Nineteen times in twenty.
    #[default]
    NinetyFive,
    /// Ninety-nine times in a hundred.
    NinetyNine,
}

impl Confidence {
    /// The same as percent.
    #[must_use]
    pub const fn percent(self) -> u8 {
        match self {
            Self::Ninety => 90,
            Self::NinetyFive => 95,
            Self::NinetyNine => 99,
        }
    }
}

/// Two-sided points in ten-thousandths for 90, 95 and 99 percent, by degrees of freedom from 1 to 100.
/// Computed with a general-purpose statistics library, and held against another in the tests.
#[rustfmt::skip]
const POINTS: [[u32; 3]; 100] = [
    [63138, 127062, 636567], [29200, 43027, 99248], [23534, 31824, 58409], [21318, 27764, 46041], [20150, 25706, 40321],
    [19432, 24469, 37074], [18946, 23646, 34995], [18595, 23060, 33554], [18331, 22622, 32498], [18125, 22281, 31693],
    [17959, 22010, 31058], [17823, 21788, 30545], [17709, 21604, 30123], [17613, 21448, 29768], [17531, 21314, 29467],
    [17459, 21199, 29208], [17396, 21098, 28982], [17341, 21009, 28784], [17291, 20930, 28609], [17247, 20860, 28453],
    [17207, 20796, 28314], [17171, 20739, 28188], [17139, 20687, 28073], [17109, 20639, 27969], [17081, 20595, 27874],
    [17056, 20555, 27787], [17033, 20518, 27707], [17011, 20484, 27633], [16991, 20452, 27564], [16973, 20423, 27500],
    [16955, 20395, 27440], [16939, 20369, 27385], [16924, 20345, 27333], [16909, 20322, 27284], [16896, 20301, 27238],
    [16883, 20281, 27195], [16871, 20262, 27154], [16860, 20244, 27116], [16849, 20227, 27079], [16839, 20211, 27045],
    [16829, 20195, 27012], [16820, 20181, 26981], [16811, 20167, 26951], [16802, 20154, 26923], [16794, 20141, 26896],
    [16787, 20129, 26870], [16779, 20117, 26846], [16772, 20106, 26822], [16766, 20096, 26800], [16759, 20086, 26778],
    [16753, 20076, 26757], [16747, 20066, 26737], [16741, 20057, 26718], [16736, 20049, 26700], [16730, 20040, 26682],
    [16725, 20032, 26665], [16720, 20025, 26649], [16716, 20017, 26633], [16711, 20010, 26618], [16706, 20003, 26603],
    [16702, 19996, 26589], [16698, 19990, 26575], [16694, 19983, 26561], [16690, 19977, 26549], [16686, 19971, 26536],
    [16683, 19966, 26524], [16679, 19960, 26512], [16676, 19955, 26501], [16672, 19949, 26490], [16669, 19944, 26479],
    [16666, 19939, 26469], [16663, 19935, 26459], [16660, 19930, 26449], [16657, 19925, 26439], [16654, 19921, 26430],
    [16652, 19917, 26421], [16649, 19913, 26412], [16646, 19908, 26403], [16644, 19905, 26395], [16641, 19901, 26387],
    [16639, 19897, 26379], [16636, 19893, 26371], [16634, 19890, 26364], [16632, 19886, 26356], [16630, 19883, 26349],
    [16628, 19879, 26342], [16626, 19876, 26335], [16624, 19873, 26329], [16622, 19870, 26322], [16620, 19867, 26316],
    [16618, 19864, 26309], [16616, 19861, 26303], [16614, 19858, 26297], [16612, 19855, 26291], [16611, 19853, 26286],
    [16609, 19850, 26280], [16607, 19847, 26275], [16606, 19845, 26269], [16604, 19842, 26264], [16602, 19840, 26259],
];
/// The same beyond 100 degrees of freedom, each good from there on to the next.
#[rustfmt::skip]
const FURTHER: [(u64, [u32; 3]); 6] = [
    (120, [16577, 19799, 26174]), (150, [16551, 19759, 26090]), (200, [16525, 19719, 26006]),
    (300, [16499, 19679, 25923]), (500, [16479, 19647, 25857]), (1000, [16464, 19623, 25808]),
];

/// The two-sided point of Student's t for a confidence and a number of degrees of freedom, to four decimals; nothing for
/// no degrees of freedom.
///
/// Beyond 100 degrees the table has steps, and the point of the step below is taken: it is a little too large, so the
/// interval a little too wide, never too narrow.
///
/// ```
/// use audit::{Confidence, students_t};
/// let four = students_t(Confidence::NinetyFive, 4).map(|point| point.to_string());
/// assert_eq!(four.as_deref(), Some("2.7764"));
/// assert_eq!(students_t(Confidence::NinetyFive, 0), None);
/// ```
#[must_use]
pub fn students_t(confidence: Confidence, degrees: u64) -> Option<Fixed> {
    let place = usize::try_from(degrees.checked_sub(1)?).ok();
    let row = match place.and_then(|place| POINTS.get(place)) {
        Some(row) => row,
        None => {
            let below = FURTHER.iter().rev().find(|(least, _)| *least <= degrees).map(|(_, row)| row);
            below.or_else(|| POINTS.last())?
        }
    };
    let [ninety, ninety_five, ninety_nine] = *row;
    let point = match confidence {
        Confidence::Ninety => ninety,
        Confidence::NinetyFive => ninety_five,
        Confidence::NinetyNine => ninety_nine,
    };
    Some(Fixed::from_millionths(i64::from(point) * 100))
}
