//! The greatest common divisor, by which a fraction is brought to lowest terms.

/// Of two numbers of one machine word; of a number and nothing, the number.
pub(super) fn of_words(left: u64, right: u64) -> u64 {
    let (large, small) = (left.max(right), left.min(right));
    match small {
        0 => return large,
        1 => return 1,
        // Halves, quarters and sixteenths are what is divided by most.
        _ if small.is_power_of_two() => return small.min(1 << large.trailing_zeros()),
        _ => {}
    }
    // One division brings numbers of very different size together; a denominator that divides is found by it.
    let rest = large % small;
    if rest == 0 {
        return small;
    }
    // From there on, taking away and halving is quicker than dividing (J. Stein, 1967).
    let halvings = (rest | small).trailing_zeros();
    let (mut left, mut right) = (rest >> rest.trailing_zeros(), small >> small.trailing_zeros());
    while left != right {
        let apart = left.abs_diff(right);
        right = left.min(right);
        left = apart >> apart.trailing_zeros();
    }
    left << halvings
}

/// Of two numbers of any size.
pub(super) fn of(left: u128, right: u128) -> u128 {
    let (mut left, mut right) = (left, right);
    loop {
        if let (Ok(left), Ok(right)) = (u64::try_from(left), u64::try_from(right)) {
            return of_words(left, right).into();
        }
        if right == 0 {
            return left;
        }
        (left, right) = (right, left % right);
    }
}
