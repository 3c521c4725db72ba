//! Steps of colour in rows of samples that cross a side.

/// A step of colour across a side.
#[derive(Debug, Clone, Copy)]
pub(in crate::card) struct Step {
    /// To the inside, in px.
    pub offset: f64,
    /// Linear light per px.
    pub strength: f64,
    /// How far it stands out of the noise, 0 to 1: what it is worth to a line that it lies on.
    pub sure: f64,
}

/// Each row averaged with `reach` neighbours to both sides.
pub(in crate::card) fn averaged(rows: &[Vec<[f32; 3]>], reach: usize) -> Vec<Vec<[f32; 3]>> {
    (0..rows.len())
        .map(|k| {
            let window = &rows[k.saturating_sub(reach)..(k + reach + 1).min(rows.len())];
            let share = 1.0 / window.len() as f32;
            (0..rows[k].len())
                .map(|i| {
                    let mut sum = [0.0f32; 3];
                    for row in window {
                        for (total, value) in sum.iter_mut().zip(row[i]) {
                            *total += value;
                        }
                    }
                    sum.map(|value| value * share)
                })
                .collect()
        })
        .collect()
}

/// Size of the colour step per px at each place: derivative of the row after smoothing by 1 2 1.
pub(in crate::card) fn slope(row: &[[f32; 3]]) -> Vec<f64> {
    let mut out = vec![0.0; row.len()];
    for i in 2..row.len().saturating_sub(2) {
        let square: f32 = (0..3)
            .map(|c| (row[i + 2][c] + 2.0 * row[i + 1][c] - 2.0 * row[i - 1][c] - row[i - 2][c]) / 8.0)
            .map(|d| d * d)
            .sum();
        out[i] = f64::from(square).sqrt();
    }
    out
}

/// The strongest steps of a row, places in samples from its first.
pub(in crate::card) fn peaks(slope: &[f64], noise: f64) -> Vec<Step> {
    let mut found = Vec::new();
    for i in 1..slope.len().saturating_sub(1) {
        let (before, here, after) = (slope[i - 1], slope[i], slope[i + 1]);
        if here > 1.6 * noise && here >= before && here > after {
            let curve = before - 2.0 * here + after;
            let shift = if curve < -1e-12 { 0.5 * (before - after) / curve } else { 0.0 };
            let offset = i as f64 + shift.clamp(-0.5, 0.5);
            found.push(Step { offset, strength: here, sure: here / (here + 6.0 * noise) });
        }
    }
    found.sort_by(|a, b| b.strength.total_cmp(&a.strength));
    found.truncate(5);
    found
}
