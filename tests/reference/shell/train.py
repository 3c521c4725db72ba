"""Trains the networks of src/shell from rendered photos with truth.

  python3 train.py whole|aligned|corner FOLDER... --textures CROPS.pkl --out NAME.net [--steps N] [--batch N]

Folders hold NAME.jpg (or .webp) with NAME.json beside it (frames and fields: samples/README.md). Needs numpy,
scipy, pillow and torch. Every third scene (number divisible by three) is left out for judging unless --scenes all.
The files in src/shell: 596 renderings of two thirds of some 300 scenes, batch 256, --seed 1 at rate 3e-3 for 6592
(whole), 6956 (aligned), 6426 (corner) steps without the change of depth, margins and folded limbs, then --start with
--seed 3 at rate 2e-3 for 6231, 6394, 5784; then, with margins and folded limbs, aligned with --seed 11 for 5344 and
--seed 25 for 8905 steps, whole with --seed 14 --plain 1 for 2938 and --seed 24 --plain 0.7 for 7753: some 40 minutes on
a graphics card each. On two cores it takes days: nobody has tried.

`whole` sees 128 px of the plane of the shell's edge, with the shell anywhere, at any turn, 9 to 62 px wide: shell
from above, shell from below, cosine and sine of twice the angle of its long axis. `aligned` sees 64 px along
the axis, the shell 28 to 52 px wide: above, below, tips, notches, front half. `corner` sees 32 mm about one end of
the axis, outward to the right, front up: tip, notch, shell.
"""
import argparse
import io
import math
import pickle
import time

import numpy as np
import torch
from PIL import Image
from torch.nn import functional as F

import paint
from unet import Net, read, write
from photos import Photos, in_window, names, window

KINDS = {
    "whole": dict(side=128, channels=[16, 32, 48, 64, 72], outputs=4),
    "aligned": dict(side=64, channels=[20, 40, 56, 72], outputs=5),
    "corner": dict(side=64, channels=[16, 32, 48, 56], outputs=3),
}
CORNER_MM_PER_PX = 0.5


def turned(axis, angle):
    c, s = angle.cos(), angle.sin()
    return torch.stack([axis[:, 0] * c - axis[:, 1] * s, axis[:, 0] * s + axis[:, 1] * c], 1)


def place(kind, photos, which, c):
    """A window for each photo: centre, mm a px, axis, mirrored."""
    b, side = len(which), KINDS[kind]["side"]
    width, middle, axis = photos.width[which], photos.middle[which], photos.axis[which]
    mirrored = c.uniform(0, 1, b) < 0.5
    if kind == "whole":
        scale = width / torch.exp(c.uniform(math.log(9), math.log(62), b))
        shift = c.uniform(-0.42, 0.42, b, 2) * side * scale[:, None]
        return middle + shift, scale, turned(axis, c.uniform(0, 2 * math.pi, b)), mirrored
    if kind == "aligned":
        scale = width / c.uniform(28, 52, b)
        askew = c.normal(0.14, b) + c.normal(0.5, b) * (c.uniform(0, 1, b) < 0.12)
        askew = askew + math.pi * (c.uniform(0, 1, b) < 0.5)
        return middle + c.normal(0.06, b, 2) * width[:, None], scale, turned(axis, askew), mirrored
    # Outward along the window's x, the front up: mirrored for the left end.
    end = c.whole(2, b)
    points = torch.where((c.uniform(0, 1, b) < 0.5)[:, None, None], photos.tips[which], photos.notches[which])
    at = points[torch.arange(b, device=end.device), end]
    rim = photos.outline[which, c.whole(photos.outline.shape[1], b)]
    at = torch.where((c.uniform(0, 1, b) < 0.1)[:, None], rim, at)
    scale = CORNER_MM_PER_PX * torch.exp(c.normal(0.1, b))
    away, angle = 8 * c.uniform(0, 1, b) ** 0.6 + c.normal(1.5, b).abs(), c.uniform(0, 2 * math.pi, b)
    at = at + torch.stack([away * angle.cos(), away * angle.sin()], 1)
    outward = axis * torch.where(end == 1, 1.0, -1.0)[:, None]
    askew = c.normal(0.17, b) + c.uniform(-math.pi, math.pi, b) * (c.uniform(0, 1, b) < 0.06)
    flipped = c.uniform(0, 1, b) < 0.06  # the front mistaken
    return at, scale, turned(outward, askew), (end == 0) ^ flipped ^ photos.under[which]


def strange_ground(kind, photos, c, b, side, scale):
    """Ground from elsewhere: painted, or of another photo without its shell."""
    x = paint.ground(c, b, side)
    other = c.whole(photos.count, b)
    angle = c.uniform(0, 2 * math.pi, b)
    axis = torch.stack([angle.cos(), angle.sin()], 1)
    beside = c.uniform(0, 2 * math.pi, b)
    centre = photos.middle[other] + torch.stack([beside.cos(), beside.sin()], 1) * (1.1 * photos.width[other])[:, None]
    zoom = torch.exp(c.uniform(-0.7, 0.7, b))
    plane = window(centre, scale * zoom, axis, c.uniform(0, 1, b) < 0.5, side)
    y, valid = photos.cut(other, plane)
    m = valid * (photos.distance(other, plane) > 10).float() * c.often(0.45, b)
    return x * (1 - m) + y * m


def stretched(photos, which, at, times):
    """Places (B, ..., 2) drawn out from front to back about the shell's middle."""
    shape = (len(which),) + (1,) * (at.dim() - 2) + (2,)
    middle, front = photos.middle[which].reshape(shape), photos.front[which].reshape(shape)
    ahead = ((at - middle) * front).sum(-1, keepdim=True)
    return at + ahead * front * (times - 1).reshape(shape[:-1] + (1,))


def batch(kind, photos, which, c):
    side = KINDS[kind]["side"]
    b = len(which)
    centre, scale, axis, mirrored = place(kind, photos, which, c)
    # Shells deeper or shallower than the rendered ones, from front to back.
    depth = torch.exp(c.normal(0.09, b))
    plane = stretched(photos, which, window(centre, scale, axis, mirrored, side), 1 / depth)
    x, valid = photos.cut(which, plane)
    card = photos.on_card(which, plane)
    rim = photos.distance(which, plane) / scale[:, None, None, None]
    y = paint.shell(c, x, valid, rim)
    to_px = lambda points: in_window(stretched(photos, which, points, depth), centre, scale, axis, mirrored, side)
    middle = to_px(photos.middle[which][:, None])
    ahead = to_px(photos.middle[which][:, None] + torch.stack([photos.axis[which], photos.front[which]], 1) * 10) - middle
    ahead = ahead / ahead.norm(dim=-1, keepdim=True)
    # A corner trained with margins saw real shells worse, not better.
    if kind != "corner":
        y = paint.folded(c, paint.margin(c, y, rim), rim, middle[:, 0], ahead[:, 0], ahead[:, 1])
    # Paint hides what tells a belly from a back.
    m = c.often(0.5 if kind == "corner" else 0.85, b) * (~photos.under[which]).float()[:, None, None, None]
    x = y * m + x * (1 - m)
    if kind != "corner":
        valid = valid * (1 - card)
    crabless = c.often(0.0 if kind == "corner" else 0.12, b)
    # What is kept round the shell: its limbs and the ground as they were, or only a ragged part of them.
    mm = scale[:, None, None, None]
    reach = torch.exp(c.each(math.log(3), math.log(90), b)) / mm * (1 + 0.4 * paint.field(c, b, side, 1))
    near = torch.sigmoid((reach - rim) / 0.6)
    swap = c.often(0.45, b)
    keep = valid * (near * swap + 1 - swap) * (1 - crabless)
    other = strange_ground(kind, photos, c, b, side, scale)
    fill = torch.maximum(c.often(0.75, b), torch.maximum(swap, crabless))
    x = x * keep + other * (1 - keep)
    valid = torch.maximum(valid * (1 - swap) * (1 - crabless), fill * (1 - card * c.often(0.5, b) * (1 - crabless)))
    x, valid = paint.plates(c, x, valid, rim, 0.25 if kind == "corner" else 0.4)
    x, valid = paint.strokes(c, x, valid, rim, 0.2 if kind == "corner" else 0.35, 0.15)
    x, valid = paint.light(c, x, valid)
    here = 1 - crabless
    above = (~photos.under[which]).float()[:, None, None, None] * here
    below = photos.under[which].float()[:, None, None, None] * here
    mask = torch.sigmoid(-rim / 0.4)
    truth = dict(mask=mask * above, under=mask * below, above=above, here=here)
    along = ahead[:, 0]
    truth["axis"] = torch.stack([along[:, 0] ** 2 - along[:, 1] ** 2, 2 * along[:, 0] * along[:, 1]], 1)
    truth["front"] = ahead[:, 1]
    truth["tips"], truth["notches"] = to_px(photos.tips[which]), to_px(photos.notches[which])
    truth["middle"] = middle[:, 0]
    truth["visible"] = photos.visible[which].float() * above[:, :, 0, 0]
    return paint.normalised(x, valid), truth


def heat(points, side, sigma):
    """(B, S, S): the nearest of the points' bumps."""
    v, u = torch.meshgrid(*[torch.arange(side, device=points.device).float()] * 2, indexing="ij")
    d = (u - points[:, :, 0, None, None]) ** 2 + (v - points[:, :, 1, None, None]) ** 2
    return torch.exp(-d / (2 * sigma**2)), d


def cross(z, y, weight=1.0, balance=1.0):
    return (F.binary_cross_entropy_with_logits(z, y, reduction="none") * (1 + (balance - 1) * y) * weight).mean()


def heat_loss(z, points, visible, above, side, sigma, balance):
    bumps, d = heat(points, side, sigma)
    hidden = (1 - visible)[:, :, None, None]
    y = (bumps * above[:, :, 0, 0, None, None]).max(1).values
    # A hidden point is neither seen nor absent.
    unknown = ((d < 36) & (hidden > 0.5)).any(1).float() * above[:, 0]
    return cross(z, y, 1 - unknown, balance)


REFINE = 4  # half the window of the local mean, px: src/shell/corner.rs has the same


def offset_loss(z, points, visible, side):
    """How far the local mean of exp(z) about each visible point is from it, px."""
    total, count = 0, 0
    for k in range(points.shape[1]):
        at = points[:, k]
        ok = (visible[:, k] > 0.5) & ((at > REFINE + 1) & (at < side - REFINE - 2)).all(1)
        jitter = torch.randint(-1, 2, at.shape, device=at.device)
        base = (at.round().long() + jitter).clamp(REFINE, side - 1 - REFINE)
        r = torch.arange(-REFINE, REFINE + 1, device=at.device)
        rows, columns = base[:, 1, None, None] + r[:, None], base[:, 0, None, None] + r
        local = z[torch.arange(len(z), device=z.device)[:, None, None], rows, columns]
        p = local.flatten(1).softmax(1).reshape(local.shape)
        mean = torch.stack([(p * columns).sum((1, 2)), (p * rows).sum((1, 2))], 1)
        off = F.smooth_l1_loss(mean, at, reduction="none", beta=0.3).sum(1)
        total, count = total + (off * ok).sum(), count + ok.sum()
    return total / count.clamp(min=1)


def loss(kind, z, t, side):
    if kind == "corner":
        points = [t["tips"], t["notches"]]
        parts = [heat_loss(z[:, k], p, t["visible"], t["above"], side, 1.8, 20.0) for k, p in enumerate(points)]
        offs = [offset_loss(z[:, k], p, t["visible"], side) for k, p in enumerate(points)]
        return 3 * sum(parts) + 0.5 * cross(z[:, 2:3], t["mask"] + t["under"]) + 0.12 * sum(offs)
    total = cross(z[:, :1], t["mask"], balance=1.5) + cross(z[:, 1:2], t["under"], balance=1.5)
    weight = t["mask"] + 0.3 * t["under"]
    if kind == "whole":
        off = ((z[:, 2:4] - t["axis"][:, :, None, None]) ** 2).sum(1, keepdim=True) * weight
        return total + 2 * off.mean()
    for k, key in ((2, "tips"), (3, "notches")):
        total = total + 3 * heat_loss(z[:, k], t[key], t["visible"], t["above"], side, 1.3, 25.0)
    v, u = torch.meshgrid(*[torch.arange(side, device=z.device).float()] * 2, indexing="ij")
    middle, front = t["middle"], t["front"]
    ahead = (u - middle[:, 0, None, None]) * front[:, 0, None, None] + (v - middle[:, 1, None, None]) * front[:, 1, None, None]
    return total + cross(z[:, 4:5], t["mask"] * (ahead[:, None] + 0.5).clamp(0, 1))


def textures(path):
    with open(path, "rb") as file:
        crops = [np.array(Image.open(io.BytesIO(crop)).convert("RGB")) for crop in pickle.load(file)]
    return torch.from_numpy(np.stack(crops)).permute(0, 3, 1, 2).contiguous()


def main():
    p = argparse.ArgumentParser()
    p.add_argument("kind", choices=KINDS)
    p.add_argument("folders", nargs="+")
    p.add_argument("--out", required=True)
    p.add_argument("--steps", type=int, default=6000)
    p.add_argument("--batch", type=int, default=32)
    p.add_argument("--rate", type=float, default=3e-3)
    p.add_argument("--scenes", default="train", choices=["train", "all"])
    p.add_argument("--seconds", type=float, default=1e9, help="stop early, the rate falling by the clock")
    p.add_argument("--channels", type=int, nargs="*")
    p.add_argument("--start", help="a file to go on from")
    p.add_argument("--seed", type=int, default=1)
    p.add_argument("--plain", type=float, default=0.0, help="0 to 1: how far colours are drawn to grey")
    p.add_argument("--threads", type=int)
    p.add_argument("--textures", required=True, help="crops of textures.py")
    a = p.parse_args()
    kind, start = KINDS[a.kind], time.time()
    device = "cuda" if torch.cuda.is_available() else "cpu"
    torch.manual_seed(a.seed)
    if a.threads:
        torch.set_num_threads(a.threads)
    torch.backends.cuda.matmul.allow_tf32 = torch.backends.cudnn.allow_tf32 = True
    torch.backends.cudnn.benchmark = True
    photos = Photos(names(a.folders, a.scenes), device)
    c = paint.Chance(a.seed, device, textures(a.textures).to(device), a.plain)
    net = Net(a.channels or kind["channels"], kind["outputs"]).to(device, memory_format=torch.channels_last)
    if a.start:
        net.load_state_dict(read(a.start).state_dict())
        net.train()
    kept = {k: v.clone() for k, v in net.state_dict().items()}
    optimiser = torch.optim.AdamW(net.parameters(), lr=a.rate, betas=(0.9, 0.99), weight_decay=1e-3)
    # Scenes, not views, are drawn alike; shells on their backs, one in fifteen, are drawn three times as often.
    weights = 1.0 + photos.under.float() * (0 if a.kind == "corner" else 2)
    if a.kind == "corner":
        weights = weights * (1 - 0.9 * photos.under.float())
    sums, done, step = 0.0, 0.0, 0
    while step < a.steps and done < 1:
        done = max(step / a.steps, (time.time() - start) / a.seconds)
        for group in optimiser.param_groups:
            group["lr"] = a.rate * min(1, (step + 1) / 100) * max(0.01, 0.5 * (1 + math.cos(math.pi * min(done, 1))))
        which = torch.multinomial(weights, a.batch, replacement=True, generator=c.g)
        with torch.no_grad():
            x, truth = batch(a.kind, photos, which, c)
        with torch.autocast(device, torch.bfloat16):
            z = net(x.contiguous(memory_format=torch.channels_last))
        value = loss(a.kind, z.float(), truth, kind["side"])
        optimiser.zero_grad(set_to_none=True)
        value.backward()
        torch.nn.utils.clip_grad_norm_(net.parameters(), 1.0)
        optimiser.step()
        step += 1
        keep = min(0.999, step / (step + 10))
        with torch.no_grad():
            for k, v in net.state_dict().items():
                kept[k].lerp_(v, 1 - keep)
        if step % 50 == 0:
            sums += float(value)
        if step % 500 == 0:
            now = net.state_dict()
            held = {k: v.clone() for k, v in now.items()}
            net.load_state_dict(kept)
            write(net, a.out)
            net.load_state_dict(held)
            print(a.out, step, round(sums / 10, 4), round(step / (time.time() - start), 2), "steps/s", flush=True)
            sums = 0.0
    net.load_state_dict(kept)
    write(net, a.out)
    print("done", a.out, step, round(time.time() - start), "s", flush=True)


if __name__ == "__main__":
    main()
