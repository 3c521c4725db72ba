"""Trains src/card/look/sides.net on the windows of side_windows.py.

  python3 side_train.py DRAWN RENDERED --weights 3 1 --out sides --minutes 25

The network says for each column of cells along a side how likely the edge of the card's face crosses it in each row.
The file in src/card: 3480 drawn scenes (textures of Debian's ufoai, redeclipse, nexuiz and others), 25 path-traced
scenes of our own and the 36 renderings with truth (the set that samples/ come from, --many 5), --weights 4 1 1 1, in
three parts of 25, 14 and 15 minutes. After the second, in which 17 of the renderings took part, the edges of the other
19 were told to 0.11 mm at the farther end (median; 0.23 mm for nine in ten), and the card's corners were found there
to 0.65 px RMS (0.89 without this network).
One scene in twelve is held out; told are the median and the 90th percentile of how far a line through its answer lies
from the truth in mm, at the side's ends. Needs numpy and torch (CPU).
"""
import argparse
import glob
import os
import time

import numpy as np
import torch
import torch.nn.functional as F

from windows_net import Net, planes, vary, write

ROWS, CELL_MM = 32, 0.2
SIGMA = 0.9  # of the answer that is asked for, in cells

p = argparse.ArgumentParser()
p.add_argument("folders", nargs="+")
p.add_argument("--out", required=True)
p.add_argument("--minutes", type=float, default=10)
p.add_argument("--held", type=int, default=12)
p.add_argument("--batch", type=int, default=64)
p.add_argument("--rate", type=float, default=2e-3)
p.add_argument("--start")
p.add_argument("--weights", type=float, nargs="*")
p.add_argument("--threads", type=int, default=1)
p.add_argument("--tell", nargs="*", default=[], help="folders of which all is held out")
a = p.parse_args()
torch.set_num_threads(a.threads)
torch.manual_seed(1)
rng = np.random.default_rng(1)


def load(folder, every):
    x, v, o, held = [], [], [], []
    for k, f in enumerate(sorted(glob.glob(folder + "/*.npz"))):
        d = np.load(f)
        x.append(d["x"])
        v.append(np.unpackbits(d["v"], axis=1).reshape(-1, 64, 64))
        o.append(d["o"])
        held.append(np.full(len(d["x"]), every > 0 and k % every == 0))
    return [np.concatenate(t) for t in (x, v, o, held)]


def get(s, idx, train):
    x = torch.from_numpy(s[0][idx]).permute(0, 3, 1, 2).float() / 255
    v = torch.from_numpy(s[1][idx])[:, None].float()
    o = torch.from_numpy(s[2][idx])
    if train:
        t = torch.rand(len(idx)) < 0.5
        x[t], v[t], o[t] = x[t].flip(3), v[t].flip(3), o[t].flip(1)
        x = vary(x)
        soft = torch.rand(len(idx)) < 0.15  # out of focus, shaken, or small in the photo
        k = int(rng.integers(2, 9))
        small = F.avg_pool2d(x[soft], k, ceil_mode=True, count_include_pad=False)
        x[soft] = F.interpolate(small, scale_factor=float(k), mode="bilinear")[..., :64, :64]
    return planes(x, v), o


def loss_of(z, o):
    """Cross-entropy of each column's answer against a bell about where the edge crosses it."""
    rows = torch.arange(ROWS)[None, :, None]
    at = (o / CELL_MM + ROWS / 2 - 0.5)[:, None, :]
    asked = torch.exp(-0.5 * ((rows - at) / SIGMA) ** 2)
    asked = asked / asked.sum(1, keepdim=True)
    return -(asked * F.log_softmax(z[:, 0], 1)).sum(1).mean()


def line(p):
    """The likeliest line through the answers (ROWS, columns), in mm at the first and the last column."""
    ll = np.log(p + 1e-3)
    n = p.shape[1]
    cols = np.arange(n)
    best = (-1e9, 0, 0)
    for b in range(0, ROWS):
        for e in range(max(0, b - 12), min(ROWS, b + 13)):
            r = np.round(b + (e - b) * cols / (n - 1)).astype(int)
            val = ll[r, cols].sum()
            if val > best[0]:
                best = (val, b, e)
    _, b, e = best
    rows = np.arange(ROWS)[:, None]
    for _ in range(6):
        at = b + (e - b) * cols / (n - 1)
        w = p * np.exp(-0.5 * ((rows - at) / 1.5) ** 2)
        mass = w.sum(0)
        mean = (w * rows).sum(0) / np.maximum(mass, 1e-9)
        m, t = np.average(mean, weights=mass), np.average(cols, weights=mass)
        slope = np.sum(mass * (cols - t) * (mean - m)) / max(np.sum(mass * (cols - t) ** 2), 1e-9)
        b, e = m - slope * t, m + slope * (n - 1 - t)
    return (np.array([b, e]) - ROWS / 2 + 0.5) * CELL_MM


def held(last=False):
    net.eval()
    out = []
    with torch.no_grad():
        for f, s in zip(a.folders + a.tell, sets + told):
            idx = np.where(s[3])[0]
            idx = idx if last else idx[:: max(1, len(idx) // 300)]
            losses, off = [], []
            for k in range(0, len(idx), 200):
                x, o = get(s, idx[k:k + 200], False)
                z = net(x)
                losses.append(float(loss_of(z, o)) * len(o))
                for q, t in zip(F.softmax(z[:, 0], 1).numpy(), o.numpy()):
                    off.append(line(q) - t[[0, -1]])
            if len(off):
                off = np.abs(off).max(1)
                out.append(f"{os.path.basename(f)}: loss {sum(losses) / len(idx):.3f} median {np.median(off):.3f} "
                           f"80 % {np.quantile(off, .8):.3f} 90 % {np.quantile(off, .9):.3f} over 0.5: {np.mean(off > .5):.3f}")
    net.train()
    return " | ".join(out)


sets = [load(f, a.held) for f in a.folders]
told = [load(f, 1) for f in a.tell]
for f, s in zip(a.folders + a.tell, sets + told):
    print(f, s[0].shape, "held", s[3].sum(), flush=True)
net = Net(outputs=1)
if a.start:
    net.load_state_dict(torch.load(a.start))
opt = torch.optim.AdamW(net.parameters(), a.rate, weight_decay=1e-4)
w = np.array(a.weights or [1] * len(sets), float)
w /= w.sum()
train = [np.where(~s[3])[0] for s in sets]
begin, step, run = time.time(), 0, []
while (part := (time.time() - begin) / (60 * a.minutes)) < 1:
    for g in opt.param_groups:
        g["lr"] = a.rate * min(1, (step + 1) / 100) * max(0.02, 0.5 * (1 + np.cos(np.pi * part)))
    batches = [get(s, rng.choice(t, max(1, round(a.batch * share))), True) for s, t, share in zip(sets, train, w)]
    x, o = (torch.cat(t) for t in zip(*batches))
    loss = loss_of(net(x), o)
    opt.zero_grad()
    loss.backward()
    opt.step()
    step += 1
    run.append(float(loss.detach()))
    if step % 500 == 0:
        print(step, round(time.time() - begin), round(np.mean(run[-500:]), 4), held(), flush=True)
        torch.save(net.state_dict(), a.out + ".pt")
        write(net, a.out + ".net")
print("end", step, held(True))
torch.save(net.state_dict(), a.out + ".pt")
write(net, a.out + ".net")
