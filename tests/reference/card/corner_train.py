"""Trains src/card/look/corners.net on the windows of corner_windows.py.

  python3 corner_train.py DRAWN --out first --minutes 25
  python3 corner_train.py DRAWN NOCARD RENDERED --weights 6 2 2 --start first.pt --out corners --minutes 14

The file in src/card: 1500 drawn scenes with textures of Debian's supertuxkart-data, what the finder took for a card in
87 photographs without one, and 24 path-traced scenes of our own; then 26 minutes more, --weights 4 1.5 3 1.5, on 670
drawn scenes with textures of Debian's ufoai, redeclipse, nexuiz and others, 40 such photographs, the 36 renderings
with truth (the set that samples/ come from, --many 5), and 34 other path-traced scenes. After the first of the two
halves, in which only 18 of the renderings took part, the corners of the other 18 parted from what is none as 0.9991
(area under the curve; 0.9957 before), and of true ones 99.7 % were told at 2 % of false ones (95.1 %).
One window in twelve is held out and told. Needs numpy and torch (CPU).
"""
import sys, os, glob, time, argparse
import numpy as np, torch, torch.nn as nn, torch.nn.functional as F
p = argparse.ArgumentParser(); p.add_argument('folders', nargs='+'); p.add_argument('--out', required=True); p.add_argument('--minutes', type=float, default=10)
p.add_argument('--held', type=int, default=12); p.add_argument('--batch', type=int, default=64); p.add_argument('--rate', type=float, default=2e-3); p.add_argument('--start'); p.add_argument('--weights', type=float, nargs='*'); p.add_argument('--threads', type=int, default=1)
a = p.parse_args(); torch.set_num_threads(a.threads); torch.manual_seed(1); rng = np.random.default_rng(1)
C = [8, 16, 24, 32]
class Net(nn.Module):
    def __init__(self, inputs=13, outputs=2):
        super().__init__(); L = []; c = inputs
        for k in C: L += [nn.Conv2d(c, k, 3, padding=1), nn.Conv2d(k, k, 3, padding=1)]; c = k
        L.append(nn.Conv2d(c, c, 3, padding=1))
        for k in C[2::-1]: L.append(nn.Conv2d(c + k, k, 3, padding=1)); c = k
        L.append(nn.Conv2d(c, outputs, 1)); self.L = nn.ModuleList(L)
        for l in L: nn.init.normal_(l.weight, 0, (2 / l.weight[0].numel()) ** .5); nn.init.zeros_(l.bias)
        nn.init.normal_(L[-1].weight, 0, .05)
    def forward(self, x):
        it = iter(self.L); kept = []
        for lev in range(4):
            x = F.relu(next(it)(x)); x = F.relu(next(it)(x))
            if lev < 3: kept.append(x); x = F.max_pool2d(x, 2)
        x = F.relu(next(it)(x))
        while kept: x = F.relu(next(it)(torch.cat([F.interpolate(x, scale_factor=2, mode='nearest'), kept.pop()], 1)))
        return next(it)(x)
def write(net, path):
    out = b'SNET' + bytes([len(net.L)])
    for l in net.L:
        w, b = l.weight.detach().numpy(), l.bias.detach().numpy(); o, i, k, _ = w.shape
        rows = w.reshape(o, -1); scale = np.maximum(np.abs(rows).max(1), 1e-9) / 127
        q = np.clip(np.round(rows / scale[:, None]), -127, 127).astype(np.int8)
        out += bytes([k, i, o]) + scale.astype('<f4').tobytes() + b.astype('<f4').tobytes() + q.tobytes()
    open(path, 'wb').write(out)
RIM = 4
def load(folder):
    fs = sorted(glob.glob(folder + '/*.npz')); X, V, Y, L, G = [], [], [], [], []
    for k, f in enumerate(fs):
        try: d = np.load(f); x = d['x']
        except Exception: continue
        X.append(x); V.append(np.unpackbits(d['v'], axis=1).reshape(-1, 64, 64)); Y.append(d['y']); L.append(d['l']); G.append(np.full(len(x), k % a.held == 0 if a.held else False))
    return [np.concatenate(v) for v in (X, V, Y, L, G)]
sets = [load(f) for f in a.folders]
for f, s in zip(a.folders, sets): print(f, s[0].shape, np.bincount(s[3] + 1), 'held', s[4].sum(), flush=True)
def planes(x, v):
    """x (B,3,64,64) 0..1 float, v (B,1,64,64) -> (B,13,32,32)."""
    n = v.sum((2, 3), keepdim=True).clamp(min=1)
    mean = (x * v).sum((2, 3), keepdim=True) / n
    spread = (((x - mean) ** 2 * v).sum((1, 2, 3), keepdim=True) / (3 * n)).sqrt() + 3 / 255
    z = (x - mean) / spread * v
    blocks = [z[:, :, dy::2, dx::2] for dy in (0, 1) for dx in (0, 1)]
    return torch.cat(blocks + [F.avg_pool2d(v, 2)], 1)
def vary(x):
    B = x.shape[0]; r = lambda s, sd: torch.randn(s) * sd
    x = x.clamp(1e-4, 1) ** torch.exp(r((B, 1, 1, 1), .15)); x = x * torch.exp(r((B, 3, 1, 1), .12))
    g = x.mean(1, keepdim=True); x = g + (x - g) * (r((B, 1, 1, 1), .35) + .95).clamp(0, 1.6)
    perm = torch.rand(B) < .1
    if perm.any(): x[perm] = x[perm][:, torch.randperm(3)]
    inv = torch.rand(B) < .04; x[inv] = 1 - x[inv]
    for _ in range(1):
        s = float(torch.rand(1) * 1.0 + .3); k = torch.exp(-.5 * (torch.arange(-3, 4) / s) ** 2); k = k / k.sum()
        m = torch.rand(B) < .3; xb = x[m]
        if len(xb): 
            xb = F.conv2d(F.pad(xb, (3, 3, 0, 0), 'replicate').reshape(-1, 1, 64, 70), k[None, None, None]).reshape(-1, 3, 64, 64)
            xb = F.conv2d(F.pad(xb, (0, 0, 3, 3), 'replicate').reshape(-1, 1, 70, 64), k[None, None, :, None]).reshape(-1, 3, 64, 64); x[m] = xb
    return (x + torch.randn_like(x) * torch.rand((B, 1, 1, 1)) * .025).clamp(0, 1.5)
def get(s, idx, train):
    x = torch.from_numpy(s[0][idx]).permute(0, 3, 1, 2).float() / 255; v = torch.from_numpy(s[1][idx])[:, None].float(); y = torch.from_numpy(s[2][idx])[:, None].float() / 255; l = torch.from_numpy(s[3][idx].astype(np.float32))
    if train:
        t = torch.rand(len(idx)) < .5
        x[t], v[t], y[t] = x[t].transpose(2, 3), v[t].transpose(2, 3), y[t].transpose(2, 3); x = vary(x)
    return planes(x, v), y, l
def loss_of(z, y, l):
    verdict = z[:, 1, RIM:-RIM, RIM:-RIM].mean((1, 2)); known = l >= 0
    return F.binary_cross_entropy_with_logits(z[:, :1], y), F.binary_cross_entropy_with_logits(verdict[known], l[known]), verdict
net = Net()
if a.start: net.load_state_dict(torch.load(a.start))
opt = torch.optim.AdamW(net.parameters(), a.rate, weight_decay=1e-4)
w = np.array(a.weights or [1] * len(sets), float); w /= w.sum()
tr = [np.where(~s[4])[0] for s in sets]; pos = [t[s[3][t] == 1] for t, s in zip(tr, sets)]; neg = [t[s[3][t] != 1] for t, s in zip(tr, sets)]
def held(show=False):
    net.eval(); out = []
    with torch.no_grad():
        for f, s in zip(a.folders, sets):
            idx = np.where(s[4])[0][:4000]
            if not len(idx): continue
            vs, ls, ms = [], [], []
            for k in range(0, len(idx), 200):
                x, y, l = get(s, idx[k:k + 200], False); z = net(x); m, _, v = loss_of(z, y, l); vs.append(v.numpy()); ls.append(l.numpy()); ms.append(float(m))
            v, l = np.concatenate(vs), np.concatenate(ls); k = l >= 0; v, l = v[k], l[k]
            P, N = v[l == 1], np.sort(v[l == 0])
            auc = np.searchsorted(N, P).mean() / len(N) if len(N) and len(P) else -1; thr = N[int(.98 * len(N))] if len(N) else 0
            ce = np.mean(np.logaddexp(0, np.where(l == 1, -v, v)))
            out.append(f'{os.path.basename(f)}: mask {np.mean(ms):.4f} ce {ce:.4f} auc {auc:.4f} tpr@2% {np.mean(P > thr) if len(P) else -1:.3f}')
    net.train(); return ' | '.join(out)
t0, step, run = time.time(), 0, []
while True:
    part = (time.time() - t0) / (60 * a.minutes)
    if part >= 1: break
    lr = a.rate * min(1, (step + 1) / 100) * max(.02, .5 * (1 + np.cos(np.pi * part)))
    for g in opt.param_groups: g['lr'] = lr
    xs = []
    for k, s in enumerate(sets):
        n = int(round(a.batch * w[k]))
        ip = rng.choice(pos[k], n * 4 // 10) if len(pos[k]) else np.zeros(0, int); im = rng.choice(neg[k], n - len(ip))
        xs.append(get(s, np.concatenate([ip, im]), True))
    x, y, l = (torch.cat(t) for t in zip(*xs))
    m, v, _ = loss_of(net(x), y, l); loss = m + v
    opt.zero_grad(); loss.backward(); opt.step(); step += 1; run.append((float(m), float(v)))
    if step % 500 == 0: print(step, round(time.time() - t0), np.round(np.mean(run[-500:], 0), 4), held(), flush=True); torch.save(net.state_dict(), a.out + '.pt'); write(net, a.out + '.net')
print('end', step, held()); torch.save(net.state_dict(), a.out + '.pt'); write(net, a.out + '.net')
