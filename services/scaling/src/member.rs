//! Puts the name of a member in front of what is wrong with its value, so an error says where it is.
//!
//! Serde names a missing or unknown member but not the member whose value is wrong, and a reader that tracks
//! the path loses it inside a tagged enum. Each function here reads one member by that name.

use serde::de::Error;
use serde::{Deserialize, Deserializer};

macro_rules! members {
    ($($name:ident)+) => {$(
        pub(crate) fn $name<'de, D: Deserializer<'de>, T: Deserialize<'de>>(reader: D) -> Result<T, D::Error> {
            T::deserialize(reader)
                .map_err(|problem| D::Error::custom(format_args!("{}: {problem}", stringify!($name))))
        }
    )+};
}

members! {
    species grade marks refused note kind
    small_diameter_in middle_diameter_in large_diameter_in top_diameter_in diameter_in girth_in
    length_ft length_in width_in thickness_in height_in wane small_end middle large_end defects
    angle_degrees depth_in departure_in deflection_in
    section_diameters_in diameter_cm small_diameter_cm middle_diameter_cm large_diameter_cm length_m label
    rule unit rounding one_reading two_readings least_trim_in most_trim_in length_multiple_ft
    longest_scaling_length_ft least_diameter_in least_length_ft cull_share deduction_rounding volume_rounding
    side_rounding content classes name log hewn_timber tie
    edition sources system metric each_reading first_half over_long division taper_in_per_feet odd_taper
    least_top kerf_in least_board length_cut_multiple_ft grade_only_kinds estimates narrow_way_in inches feet
    diameter_rounding_cm length_rounding_m least_trim_cm least_diameter_cm least_length_m
    butt_diameter_in width_cm height_cm depth_cm departure_cm deflection_cm from_small_end_ft from_small_end_m
    major_in minor_in core_in major_cm minor_cm core_cm percent reason
    score_mark_depth_in straightness_in out_of_square_in ordered_width_in ordered_thickness_in
    table title heading diameter jurisdiction source version document
    tolerances degraded_over refused_over degraded_to size_difference_in under_size_in over_size_in
    heights heights_m stick_length_ft stick_length_in stick_length_m ranked_pile nominal_sticks otherwise
    height_rounding_in height_rounding_cm most_trim_cm
    wane_of_face thicker_in wider_in longer_in pole least_top_in log_diameter_in stick_number hewn_from
}
