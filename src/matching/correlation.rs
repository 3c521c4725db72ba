//! How alike two windows are, whatever their light.

/// Zero-mean normalised cross-correlation of two windows of the same size, -1 to 1; `None` where one is flat.
///
/// Source: J. P. Lewis 1995, Fast Normalized Cross-Correlation, Vision Interface, 120-123.
pub(super) fn correlation(a: &[f32], b: &[f32]) -> Option<f64> {
    let count = a.len().min(b.len());
    if count == 0 {
        return None;
    }
    let mean = |values: &[f32]| values.iter().map(|&value| f64::from(value)).sum::<f64>() / count as f64;
    let (mean_a, mean_b) = (mean(&a[..count]), mean(&b[..count]));
    let (mut both, mut square_a, mut square_b) = (0.0, 0.0, 0.0);
    for (&x, &y) in a.iter().zip(b) {
        let (x, y) = (f64::from(x) - mean_a, f64::from(y) - mean_b);
        both += x * y;
        square_a += x * x;
        square_b += y * y;
    }
    // A level of luma over the window is noise.
    let flat = count as f64;
    (square_a > flat && square_b > flat).then(|| both / (square_a * square_b).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn light_does_not_count_and_a_flat_window_is_like_nothing() {
        let window: Vec<f32> = (0..81).map(|i| (i * 37 % 101) as f32).collect();
        let lit: Vec<f32> = window.iter().map(|value| 0.4 * value + 60.0).collect();
        let dark: Vec<f32> = window.iter().map(|value| 200.0 - value).collect();
        assert!((correlation(&window, &lit).expect("not flat") - 1.0).abs() < 1e-6);
        assert!((correlation(&window, &dark).expect("not flat") + 1.0).abs() < 1e-6);
        assert_eq!(correlation(&window, &[90.0; 81]), None);
    }
}
