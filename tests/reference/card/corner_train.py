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
import numpy as np, torch, torch.nn.functional as F
p = argparse.ArgumentParser(); p.add_argument('folders', nargs='+'); p.add_argument('--out', required=True); p.add_argument('--minutes', type=float, default=10)
p.add_argument('--held', type=int, default=12); p.add_argument('--batch', type=int, default=64); p.add_argument('--rate', type=float, default=2e-3); p.add_argument('--start'); p.add_argument('--weights', type=float, nargs='*'); p.add_argument('--threads', type=int, default=1)
a = p.parse_args(); torch.set_num_threads(a.threads); torch.manual_seed(1); rng = np.random.default_rng(1)
from windows_net import Net, planes, vary, write
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
