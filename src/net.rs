//! A small convolutional network, evaluated in plain Rust: the same sums in the same order everywhere.
//!
//! Its shape: some levels of two 3 x 3 convolutions with halving by maximum between them, one more at the
//! lowest, then doubling and joining with each level's own map on the way up, and a 1 x 1 convolution at the
//! end (Ronneberger, Fischer, Brox: U-Net, 2015). Weights are 8-bit with one scale for each output channel;
//! the folders of `tests/reference/` hold the scripts that trained them.

use crate::portable::Portable;

/// One convolution.
#[derive(Debug, Clone)]
struct Layer {
    /// 3 or 1.
    kernel: usize,
    inputs: usize,
    outputs: usize,
    /// `[output][input][ky][kx]`.
    weights: Vec<f32>,
    biases: Vec<f32>,
}

/// A network, read from its file.
#[derive(Debug, Clone)]
pub struct Net {
    layers: Vec<Layer>,
}

/// Maps of `channels` planes, each padded by one zero pixel all round.
#[derive(Debug, Clone)]
pub struct Maps {
    /// Columns and rows without the padding.
    pub side: usize,
    /// Planes.
    pub channels: usize,
    data: Vec<f32>,
}

/// Most levels of a network: its window would have to be a multiple of 128 px.
const MOST_LEVELS: usize = 8;

impl Maps {
    /// Empty maps.
    pub fn zeros(side: usize, channels: usize) -> Self {
        Self { side, channels, data: vec![0.0; channels * (side + 2) * (side + 2)] }
    }

    fn pitch(&self) -> usize {
        self.side + 2
    }

    fn plane_len(&self) -> usize {
        self.pitch() * self.pitch()
    }

    /// One value; 0 outside.
    pub fn at(&self, channel: usize, x: usize, y: usize) -> f32 {
        if channel >= self.channels || x >= self.side || y >= self.side {
            return 0.0;
        }
        self.data[channel * self.plane_len() + (y + 1) * self.pitch() + x + 1]
    }

    /// Sets one value within the maps.
    pub fn set(&mut self, channel: usize, x: usize, y: usize, value: f32) {
        let at = channel * self.plane_len() + (y + 1) * self.pitch() + x + 1;
        self.data[at] = value;
    }

    fn halved_by_maximum(&self) -> Self {
        let mut out = Self::zeros(self.side / 2, self.channels);
        for channel in 0..self.channels {
            for y in 0..out.side {
                for x in 0..out.side {
                    let a = self.at(channel, 2 * x, 2 * y).max(self.at(channel, 2 * x + 1, 2 * y));
                    let b = self.at(channel, 2 * x, 2 * y + 1).max(self.at(channel, 2 * x + 1, 2 * y + 1));
                    out.set(channel, x, y, a.max(b));
                }
            }
        }
        out
    }

    /// This map doubled in size, followed by the planes of `beside`.
    fn doubled_beside(&self, beside: &Self) -> Self {
        let mut out = Self::zeros(beside.side, self.channels + beside.channels);
        for channel in 0..self.channels {
            for y in 0..out.side {
                for x in 0..out.side {
                    out.set(channel, x, y, self.at(channel, x / 2, y / 2));
                }
            }
        }
        let from = self.channels * out.plane_len();
        out.data[from..].copy_from_slice(&beside.data);
        out
    }
}

/// Outputs that are summed together: each value of the input is loaded once for all of them.
const BLOCK: usize = 4;

impl Layer {
    fn run(&self, input: &Maps, rectified: bool) -> Maps {
        let mut out = Maps::zeros(input.side, self.outputs);
        let (side, pitch, plane) = (input.side, input.pitch(), input.plane_len());
        let taps = self.kernel * self.kernel;
        let mut rows: [Vec<f32>; BLOCK] = std::array::from_fn(|_| vec![0.0; side]);
        for first in (0..self.outputs).step_by(BLOCK) {
            let count = BLOCK.min(self.outputs - first);
            for y in 0..side {
                for (row, bias) in rows.iter_mut().zip(&self.biases[first..first + count]) {
                    row.fill(*bias);
                }
                for channel in 0..self.inputs {
                    let map = &input.data[channel * plane..][..plane];
                    let weights =
                        |k: usize| &self.weights[((first + k) * self.inputs + channel) * taps..][..taps];
                    if taps == 1 {
                        let line = &map[(y + 1) * pitch + 1..][..side];
                        for (k, row) in rows.iter_mut().enumerate().take(count) {
                            let w = weights(k)[0];
                            for (sum, value) in row.iter_mut().zip(line) {
                                *sum += w * value;
                            }
                        }
                        continue;
                    }
                    let lines = [0, 1, 2].map(|k| &map[(y + k) * pitch..][..side + 2]);
                    if count == BLOCK {
                        let [a, b, c, d] = &mut rows;
                        nine_taps_of_two([a, b], lines, [weights(0), weights(1)]);
                        nine_taps_of_two([c, d], lines, [weights(2), weights(3)]);
                    } else {
                        for (k, row) in rows.iter_mut().enumerate().take(count) {
                            nine_taps(row, lines, weights(k));
                        }
                    }
                }
                for (k, row) in rows.iter().enumerate().take(count) {
                    let target = &mut out.data[(first + k) * plane + (y + 1) * pitch + 1..][..side];
                    for (to, &sum) in target.iter_mut().zip(row) {
                        *to = if rectified { sum.max(0.0) } else { sum };
                    }
                }
            }
        }
        out
    }
}

/// Adds the 3 x 3 neighbourhood of three padded lines to `row`: the inner loop of everything here.
#[inline]
fn nine_taps(row: &mut [f32], lines: [&[f32]; 3], weights: &[f32]) {
    let [w0, w1, w2, w3, w4, w5, w6, w7, w8] = *weights else { return };
    let side = row.len();
    let (a0, a1, a2) = (&lines[0][..side], &lines[0][1..][..side], &lines[0][2..][..side]);
    let (b0, b1, b2) = (&lines[1][..side], &lines[1][1..][..side], &lines[1][2..][..side]);
    let (c0, c1, c2) = (&lines[2][..side], &lines[2][1..][..side], &lines[2][2..][..side]);
    for x in 0..side {
        row[x] += (w0 * a0[x] + w1 * a1[x] + w2 * a2[x])
            + (w3 * b0[x] + w4 * b1[x] + w5 * b2[x])
            + (w6 * c0[x] + w7 * c1[x] + w8 * c2[x]);
    }
}

/// [`nine_taps`] for two outputs at once: the same sums in the same order.
#[inline]
fn nine_taps_of_two(rows: [&mut Vec<f32>; 2], lines: [&[f32]; 3], weights: [&[f32]; 2]) {
    let [v0, v1, v2, v3, v4, v5, v6, v7, v8] = *weights[0] else { return };
    let [w0, w1, w2, w3, w4, w5, w6, w7, w8] = *weights[1] else { return };
    let [one, two] = rows;
    let side = one.len();
    let (one, two) = (&mut one[..side], &mut two[..side]);
    let (a0, a1, a2) = (&lines[0][..side], &lines[0][1..][..side], &lines[0][2..][..side]);
    let (b0, b1, b2) = (&lines[1][..side], &lines[1][1..][..side], &lines[1][2..][..side]);
    let (c0, c1, c2) = (&lines[2][..side], &lines[2][1..][..side], &lines[2][2..][..side]);
    for x in 0..side {
        one[x] += (v0 * a0[x] + v1 * a1[x] + v2 * a2[x])
            + (v3 * b0[x] + v4 * b1[x] + v5 * b2[x])
            + (v6 * c0[x] + v7 * c1[x] + v8 * c2[x]);
        two[x] += (w0 * a0[x] + w1 * a1[x] + w2 * a2[x])
            + (w3 * b0[x] + w4 * b1[x] + w5 * b2[x])
            + (w6 * c0[x] + w7 * c1[x] + w8 * c2[x]);
    }
}

impl Net {
    /// Reads a network: `SNET`, the number of layers (one byte), then for each layer its kernel (1 or 3),
    /// inputs and outputs (a byte each), the scales and biases of its outputs (f32, little-endian) and its
    /// 8-bit weights. `None` when the bytes do not fit.
    pub fn read(bytes: &[u8]) -> Option<Self> {
        let mut rest = bytes.strip_prefix(b"SNET")?;
        let mut take = |count: usize| {
            let (head, tail) = rest.split_at_checked(count)?;
            rest = tail;
            Some(head)
        };
        let count = usize::from(*take(1)?.first()?);
        let mut layers = Vec::with_capacity(count);
        for _ in 0..count {
            let &[kernel, inputs, outputs] = take(3)? else { return None };
            let (kernel, inputs, outputs) = (usize::from(kernel), usize::from(inputs), usize::from(outputs));
            if !(kernel == 1 || kernel == 3) || inputs == 0 || outputs == 0 {
                return None;
            }
            let mut floats = |n: usize| -> Option<Vec<f32>> {
                let raw = take(4 * n)?;
                Some(raw.as_chunks::<4>().0.iter().map(|&four| f32::from_le_bytes(four)).collect())
            };
            let (scales, biases) = (floats(outputs)?, floats(outputs)?);
            let per_output = inputs * kernel * kernel;
            let raw = take(outputs * per_output)?;
            let weights = raw
                .iter()
                .enumerate()
                .map(|(i, &byte)| f32::from(byte.cast_signed()) * scales[i / per_output])
                .collect();
            layers.push(Layer { kernel, inputs, outputs, weights, biases });
        }
        let net = Self { layers };
        (rest.is_empty() && net.fits_its_shape()).then_some(net)
    }

    /// Every layer must take what the one before it gives, or [`Net::run`] would read past its maps.
    fn fits_its_shape(&self) -> bool {
        let levels = self.levels();
        if !(1..=MOST_LEVELS).contains(&levels) || self.layers.len() != 3 * levels + 1 {
            return false;
        }
        let outputs = |i: usize| self.layers[i].outputs;
        self.layers.iter().enumerate().skip(1).all(|(i, layer)| {
            let up = i.checked_sub(2 * levels + 1).filter(|&step| step + 1 < levels);
            let joined = up.map_or(0, |step| outputs(2 * (levels - 2 - step) + 1));
            layer.inputs == outputs(i - 1) + joined
        })
    }

    /// Two layers down and one up for each level, one more at the lowest, one at the end.
    fn levels(&self) -> usize {
        self.layers.len().saturating_sub(1) / 3
    }

    /// Planes that go in.
    pub fn inputs(&self) -> usize {
        self.layers.first().map_or(0, |layer| layer.inputs)
    }

    /// Runs the network; the answer has the input's side and is not yet a probability. `None` when the input
    /// has the wrong number of planes or a side that cannot be halved often enough.
    pub fn run(&self, input: &Maps) -> Option<Maps> {
        let levels = self.levels();
        let unit = 1 << (levels - 1);
        if input.channels != self.inputs() || input.side == 0 || !input.side.is_multiple_of(unit) {
            return None;
        }
        let mut layers = self.layers.iter();
        let mut maps = input.clone();
        let mut kept = Vec::with_capacity(levels);
        for level in 0..levels {
            maps = layers.next()?.run(&maps, true);
            maps = layers.next()?.run(&maps, true);
            if level + 1 < levels {
                let halved = maps.halved_by_maximum();
                kept.push(std::mem::replace(&mut maps, halved));
            }
        }
        maps = layers.next()?.run(&maps, true);
        while let Some(beside) = kept.pop() {
            maps = layers.next()?.run(&maps.doubled_beside(&beside), true);
        }
        Some(layers.next()?.run(&maps, false))
    }
}

/// The logistic function.
pub fn probability(logit: f32) -> f32 {
    1.0 / (1.0 + (-logit.clamp(-30.0, 30.0)).portable_exp())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn layer(kernel: usize, inputs: usize, outputs: usize) -> Layer {
        let value = |i: usize| ((i * 37 + 11) % 23) as f32 / 11.5 - 1.0;
        Layer {
            kernel,
            inputs,
            outputs,
            weights: (0..kernel * kernel * inputs * outputs).map(value).collect(),
            biases: (0..outputs).map(value).collect(),
        }
    }

    fn pattern(side: usize, channels: usize) -> Maps {
        let mut maps = Maps::zeros(side, channels);
        for channel in 0..channels {
            for y in 0..side {
                for x in 0..side {
                    maps.set(channel, x, y, ((x * 7 + y * 13 + channel * 5) % 17) as f32 / 8.5 - 1.0);
                }
            }
        }
        maps
    }

    /// Against the definition of a convolution with zeros outside, written as plain sums in f64.
    #[test]
    fn a_layer_is_a_convolution_with_zeros_outside() {
        for kernel in [1usize, 3] {
            let (layer, maps) = (layer(kernel, 3, 6), pattern(8, 3));
            let out = layer.run(&maps, false);
            for output in 0..6 {
                for (y, x) in [(0, 0), (3, 4), (7, 7), (0, 5)] {
                    let mut sum = f64::from(layer.biases[output]);
                    for input in 0..3 {
                        for ky in 0..kernel {
                            for kx in 0..kernel {
                                let (sx, sy) =
                                    ((x + kx).wrapping_sub(kernel / 2), (y + ky).wrapping_sub(kernel / 2));
                                let at = ((output * 3 + input) * kernel + ky) * kernel + kx;
                                sum += f64::from(layer.weights[at]) * f64::from(maps.at(input, sx, sy));
                            }
                        }
                    }
                    assert!(
                        (f64::from(out.at(output, x, y)) - sum).abs() < 1e-4,
                        "{kernel} {output} {x} {y}"
                    );
                }
            }
        }
    }

    #[test]
    fn halving_keeps_the_highest_and_doubling_repeats() {
        let maps = pattern(8, 1);
        let half = maps.halved_by_maximum();
        let four = [maps.at(0, 4, 2), maps.at(0, 5, 2), maps.at(0, 4, 3), maps.at(0, 5, 3)];
        assert_eq!(half.at(0, 2, 1), four.into_iter().fold(f32::MIN, f32::max));
        let joined = half.doubled_beside(&maps);
        assert_eq!((joined.side, joined.channels), (8, 2));
        assert_eq!(joined.at(0, 5, 3), half.at(0, 2, 1));
        assert_eq!(joined.at(1, 5, 3), maps.at(0, 5, 3));
    }

    #[test]
    fn a_damaged_file_or_a_wrong_window_gives_nothing() {
        let bytes = include_bytes!("shell/aligned.net");
        let net = Net::read(bytes).expect("the built-in file");
        assert!(Net::read(&bytes[..bytes.len() - 1]).is_none());
        assert!(Net::read(b"SNET").is_none());
        assert!(Net::read(b"").is_none());
        let mut wrong = bytes.to_vec();
        wrong[6] = 3;
        assert!(Net::read(&wrong).is_none(), "a first layer of another shape");
        assert!(net.run(&Maps::zeros(12, 4)).is_none(), "12 cannot be halved three times");
        assert!(net.run(&Maps::zeros(16, 3)).is_none(), "three planes instead of four");
        assert!(net.run(&Maps::zeros(16, 4)).is_some());
    }
}
