"""Trains src/card/look/corners.net on the windows of corner_windows.py.

  python3 corner_train.py DRAWN --out first --minutes 25
  python3 corner_train.py DRAWN NOCARD RENDERED --weights 6 2 2 --start first.net --out corners --minutes 14

The first file in src/card: 1500 drawn scenes with textures of Debian's supertuxkart-data, what the finder took for a
card in 87 photographs without one, and 24 path-traced scenes of our own; then 26 minutes more on 670 drawn scenes with
textures of Debian's ufoai, redeclipse, nexuiz and others, 40 such photographs, 36 renderings with truth (the set that
samples/ come from) and 34 other path-traced scenes.

The file there now goes on from it (--start takes a file that `write` wrote; the one before lies in the history of
src/card/look/corners.net):

  corner_windows.py photos --photos TRAIN/*.jpg --seed 21         596 small renderings of 200 scenes (1.5 to 5 px/mm)
  corner_windows.py finds --finds finds.txt --seed 22             what the finder looks at in them
  pasted.py made TRAIN/*.jpg --seed 5                             their cards taken out, other cards and plates laid
  corner_windows.py laid --photos made/*-laid.jpg --seed 23       259 of these
  corner_windows.py made --finds made.txt --seed 25               what the finder looks at in 166 of these
  corner_windows.py drawn --count 153 --seed 24 --textures WALLPAPERS
  corner_windows.py nocard --finds nocard.txt --seed 26           110 photographs of Debian's opencv-doc and wallpapers
  corner_train.py photos finds laid made drawn --weights 4 3 2 3 2 --minutes 6
  corner_train.py photos finds laid made drawn nocard --weights 4 4 1.5 3 2 1.5 --batch 56 --minutes 17 --blend FORMER.net

On a shared core these were 500 and 2395 steps: some 9 minutes of a core of one's own. `finds` came from a finder that
did not know the camera of a crop; it now does. A quarter of the former file's weights is kept: the whole new ones forget
one of the renderings that the former had seen. TRAIN are the scenes whose number is no multiple of three. Corners of
`finds` told at 2 % of false ones, photos held out within the training: 64 % before, 85 % after; area under the curve 0.974
and 0.990. The card is right in 255 of 296 renderings of the scenes kept from everything (247 before; 259 with SURE
lowered from 0.65 to 0.5), of 168 close crops (none trained on) in 161 with 0.5 (158), in no case wrong. Of 10 real
cards, none trained on, 9 are found (10 before: the other was 10 px off), of 15 real photographs without one none.
One window in twelve is held out and told. Needs numpy and torch (CPU).
"""
import sys, os, glob, time, argparse
import numpy as np, torch, torch.nn.functional as F
p = argparse.ArgumentParser(); p.add_argument('folders', nargs='+'); p.add_argument('--out', required=True); p.add_argument('--minutes', type=float, default=10)
p.add_argument('--held', type=int, default=12); p.add_argument('--batch', type=int, default=64); p.add_argument('--rate', type=float, default=2e-3); p.add_argument('--start'); p.add_argument('--blend', help='a file of which the end takes a share in'); p.add_argument('--share', type=float, default=.25); p.add_argument('--weights', type=float, nargs='*'); p.add_argument('--threads', type=int, default=1)
a = p.parse_args(); torch.set_num_threads(a.threads); torch.manual_seed(1); rng = np.random.default_rng(1)
from windows_net import Net, planes, read, vary, write
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
net = (read(a.start) if a.start else Net()).to(memory_format=torch.channels_last)
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
    m, v, _ = loss_of(net(x.contiguous(memory_format=torch.channels_last)), y, l); loss = m + v
    opt.zero_grad(); loss.backward(); opt.step(); step += 1; run.append((float(m), float(v)))
    if step % 500 == 0: print(step, round(time.time() - t0), np.round(np.mean(run[-500:], 0), 4), held(), flush=True); write(net, a.out + '.net')
if a.blend:
    for new, old in zip(net.parameters(), read(a.blend).parameters()): new.data = (1 - a.share) * new.data + a.share * old.data
print('end', step, held()); write(net, a.out + '.net')
