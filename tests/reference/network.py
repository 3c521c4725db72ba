"""The small convolutional network that src/net.rs runs: its shape, its first weights, its file, its training step."""
import jax
import jax.numpy as jnp
import numpy as np
from jax import lax

CHANNELS = [8, 16, 24, 32]


def fresh(seed, outputs, inputs):
    rng, shapes, c = np.random.default_rng(seed), [], inputs
    for k in CHANNELS:
        shapes += [(3, 3, c, k), (3, 3, k, k)]
        c = k
    shapes.append((3, 3, c, c))
    for k in CHANNELS[2::-1]:
        shapes.append((3, 3, c + k, k))
        c = k
    shapes.append((1, 1, c, outputs))
    weights = []
    for s in shapes:
        weights += [jnp.array(rng.normal(0, np.sqrt(2 / np.prod(s[:3])), s), jnp.float32), jnp.zeros(s[3])]
    weights[-1] = jnp.full(outputs, -2.0)
    return weights


def run(weights, x):
    layers = iter(zip(weights[::2], weights[1::2]))

    def conv(x, rectified=True):
        w, b = next(layers)
        y = lax.conv_general_dilated(x, w, (1, 1), "SAME", dimension_numbers=("NHWC", "HWIO", "NHWC")) + b
        return jnp.maximum(y, 0) if rectified else y

    kept = []
    for level in range(4):
        x = conv(conv(x))
        if level < 3:
            kept.append(x)
            x = lax.reduce_window(x, -jnp.inf, lax.max, (1, 2, 2, 1), (1, 2, 2, 1), "VALID")
    x = conv(x)
    while kept:
        x = conv(jnp.concatenate([jnp.repeat(jnp.repeat(x, 2, 1), 2, 2), kept.pop()], -1))
    return conv(x, False)


def write(weights, path):
    out = b"SNET" + bytes([len(weights) // 2])
    for w, b in zip(weights[::2], weights[1::2]):
        w, b = np.array(w), np.array(b)
        kernel, _, inputs, outputs = w.shape
        rows = w.transpose(3, 2, 0, 1).reshape(outputs, -1)
        scale = np.maximum(np.abs(rows).max(1), 1e-9) / 127
        rounded = np.clip(np.round(rows / scale[:, None]), -127, 127).astype(np.int8)
        out += bytes([kernel, inputs, outputs]) + scale.astype("<f4").tobytes() + b.astype("<f4").tobytes() + rounded.tobytes()
    open(path, "wb").write(out)


def adam(loss, steps, base_rate):
    """One step of Adam on loss(weights, *batch), its rate rising over 100 steps and falling as a cosine."""

    @jax.jit
    def step(weights, first, second, t, *batch):
        value, slope = jax.value_and_grad(loss)(weights, *batch)
        first = [0.9 * m + 0.1 * g for m, g in zip(first, slope)]
        second = [0.995 * v + 0.005 * g * g for v, g in zip(second, slope)]
        rate = base_rate * jnp.minimum(1, (t + 1) / 100) * jnp.maximum(0.02, 0.5 * (1 + jnp.cos(jnp.pi * t / steps)))
        weights = [w - rate * (m / (1 - 0.9 ** (t + 1)) / (jnp.sqrt(v / (1 - 0.995 ** (t + 1))) + 1e-7) + 1e-4 * w)
                   for w, m, v in zip(weights, first, second)]
        return weights, first, second, value

    return step
