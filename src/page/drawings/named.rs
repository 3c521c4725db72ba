//! Drawings of the page that lessons show too, by the name that a lesson's file gives.

/// The drawing `name`; none where it is not one of the page's own.
pub fn named(name: &str) -> Option<&'static str> {
    Some(match name {
        "claws_keep_whole" => super::CLAWS_KEEP_WHOLE,
        "eggs_dark" => super::EGGS_DARK,
        "eggs_sponge" => super::EGGS_SPONGE,
        "hold_from_behind" => super::HOLD_FROM_BEHIND,
        "kind_blue" => super::KIND_BLUE,
        "kind_graceful" => super::KIND_GRACEFUL,
        "kind_green" => super::KIND_GREEN,
        "measure_length" => super::MEASURE_LENGTH,
        "measure_notch" => super::MEASURE_NOTCH,
        "measure_tips" => super::MEASURE_TIPS,
        "measure_widest" => super::MEASURE_WIDEST,
        "notch_place" => super::NOTCH_PLACE,
        "release_low" => super::RELEASE_LOW,
        "release_not_thrown" => super::RELEASE_NOT_THROWN,
        "sex_blue_female" => super::SEX_BLUE_FEMALE,
        "sex_blue_male" => super::SEX_BLUE_MALE,
        "sex_female" => super::SEX_FEMALE,
        "sex_male" => super::SEX_MALE,
        "shell_flexes" => super::SHELL_FLEXES,
        "shell_press" => super::SHELL_PRESS,
        "shell_rigid" => super::SHELL_RIGID,
        _ => return None,
    })
}
