"""What the scripts that train the networks of src/card/look share: the network that src/net.rs runs, its file, what it
sees of a window, and how windows are varied. Needs numpy and torch (CPU)."""
import numpy as np
import torch
import torch.nn as nn
import torch.nn.functional as F

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
def read(path):
    """The network of a file that `write` wrote."""
    data = open(path, 'rb').read(); net = Net(); at = 5
    assert data[:4] == b'SNET' and data[4] == len(net.L)
    for l in net.L:
        k, i, o = data[at:at + 3]; at += 3; n = k * k * i * o
        assert (o, i, k, k) == tuple(l.weight.shape)
        scale, bias = np.frombuffer(data, '<f4', o, at), np.frombuffer(data, '<f4', o, at + 4 * o); at += 8 * o
        rows = np.frombuffer(data, np.int8, n, at).reshape(o, -1) * scale[:, None]; at += n
        l.weight.data = torch.tensor(rows.reshape(o, i, k, k).astype(np.float32)); l.bias.data = torch.tensor(bias.copy())
    assert at == len(data)
    return net
def planes(x, v):
    """x (B,3,n,n) 0..1 float, v (B,1,n,n) -> (B,13,n/2,n/2)."""
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
        n = x.shape[-1]; s = float(torch.rand(1) * 1.0 + .3); k = torch.exp(-.5 * (torch.arange(-3, 4) / s) ** 2); k = k / k.sum()
        m = torch.rand(B) < .3; xb = x[m]
        if len(xb): 
            xb = F.conv2d(F.pad(xb, (3, 3, 0, 0), 'replicate').reshape(-1, 1, n, n + 6), k[None, None, None]).reshape(-1, 3, n, n)
            xb = F.conv2d(F.pad(xb, (0, 0, 3, 3), 'replicate').reshape(-1, 1, n + 6, n), k[None, None, :, None]).reshape(-1, 3, n, n); x[m] = xb
    return (x + torch.randn_like(x) * torch.rand((B, 1, 1, 1)) * .025).clamp(0, 1.5)
