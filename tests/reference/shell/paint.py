"""Paints windows anew, so that the networks learn shapes and not the few colours and patterns of the renderings.

All on batches: x is RGB (B, 3, S, S) coded 0..1, valid (B, 1, S, S), rim the signed distance to the shell's rim in
window px, negative inside.
"""
import math

import torch
from torch.nn import functional as F


class Chance:
    """Random numbers of a batch, from one generator; `textures`: natural pictures to cut from (N, 3, T, T), 0..255;
    `plain`: 0 to 1, how far colours are drawn to grey, since real shell and deck are mostly of one hue."""

    def __init__(self, seed, device, textures, plain=0.0):
        self.plain, self.g = plain, torch.Generator(device=device).manual_seed(seed)
        self.device, self.bank, self.textures = device, None, textures

    def uniform(self, low, high, *shape):
        return low + (high - low) * torch.rand(shape, generator=self.g, device=self.device)

    def normal(self, spread, *shape):
        return spread * torch.randn(shape, generator=self.g, device=self.device)

    def often(self, share, batch):
        """1 for a share of the batch, else 0 (B, 1, 1, 1)."""
        return (torch.rand((batch, 1, 1, 1), generator=self.g, device=self.device) < share).float()

    def whole(self, high, *shape):
        return torch.randint(high, shape, generator=self.g, device=self.device)

    def each(self, low, high, batch):
        return self.uniform(low, high, batch, 1, 1, 1)


def grid(side, device):
    v, u = torch.meshgrid(*[torch.arange(side, device=device) - (side - 1) / 2] * 2, indexing="ij")
    return u[None, None].float(), v[None, None].float()


BANK_SIDE, BANK_COUNT = 160, 48


def bank(c):
    """Smooth noise of seven grains, each from coarse to fine, to cut fields from."""
    rows = []
    for size in (3, 5, 9, 17, 33, 65, 128):
        noise = F.interpolate(c.normal(1, BANK_COUNT, 1, size, size), (BANK_SIDE, BANK_SIDE), mode="bicubic", align_corners=True)
        rows.append(noise / noise.std())
    return torch.stack(rows)[:, :, 0]


def field(c, batch, side, fine=1.0):
    """Smooth random fields of unit spread (B, 1, S, S), each with a grain of its own; `fine` shifts it."""
    if c.bank is None:
        c.bank = bank(c)
    r = torch.arange(side, device=c.device)
    total = 0
    share = c.uniform(0, 1, batch, 1, 1)
    for weight in (share.sqrt(), (1 - share).sqrt()):
        level = (c.uniform(-0.5, 4.0, batch) + fine - 1).round().clamp(0, 6).long()
        which = c.whole(BANK_COUNT, batch)
        x, y = c.whole(BANK_SIDE - side + 1, batch), c.whole(BANK_SIDE - side + 1, batch)
        rows, columns = y[:, None, None] + r[:, None], x[:, None, None] + r
        total = total + weight * c.bank[level[:, None, None], which[:, None, None], rows, columns]
    return total[:, None]


def grain(c, batch, side):
    """Streaks and stripes, as of planks, ropes and brushed paint."""
    u, v = grid(side, c.device)
    a = c.each(0, math.pi, batch)
    along, across = u * a.cos() + v * a.sin(), v * a.cos() - u * a.sin()
    long, period = torch.exp(c.each(math.log(0.3), math.log(4), batch)), torch.exp(c.each(math.log(3), math.log(side), batch))
    noise = F.interpolate(c.normal(1, batch, 1, 8, 64), (side, 256), mode="bilinear", align_corners=True)
    at = torch.stack([across.expand(batch, 1, side, side)[:, 0] / side * c.uniform(0.4, 1.6, batch, 1, 1), along.expand(batch, 1, side, side)[:, 0] / (side * long[:, 0] * 2)], -1)
    streaks = F.grid_sample(noise, at, padding_mode="reflection", align_corners=True)
    duty = c.each(-0.95, 0.95, batch)
    stripes = torch.tanh((torch.sin(across * 2 * math.pi / period + c.each(0, 6.3, batch)) - duty) * c.each(1, 12, batch))
    return streaks * c.each(0, 1, batch) + stripes * c.each(0, 1, batch) * c.often(0.5, batch)


def natural(c, batch, side):
    """Natural texture, turned, stretched and coloured anew (B, 3, S, S)."""
    which = c.whole(len(c.textures), batch)
    half = torch.exp(c.each(math.log(0.25), 0.0, batch))[:, 0]
    a = c.each(0, 2 * math.pi, batch)[:, 0]
    u, v = (d[:, 0] * 2 / side for d in grid(side, c.device))
    stretch = torch.exp(c.normal(0.2, batch, 1, 1))
    x, y = (u * a.cos() - v * a.sin()) * half * stretch, (u * a.sin() + v * a.cos()) * half / stretch
    free = 1 - half
    at = torch.stack([x + c.uniform(-1, 1, batch, 1, 1) * free, y + c.uniform(-1, 1, batch, 1, 1) * free], -1)
    t = F.grid_sample(c.textures[which].float() / 255, at, padding_mode="reflection", align_corners=False)
    mean = t.mean((2, 3), keepdim=True)
    t = mean * torch.exp(c.normal(0.35, batch, 1, 1, 1) + c.normal(0.12, batch, 3, 1, 1)) + (t - mean) * c.each(0.5, 1.6, batch)
    grey = t.mean(1, keepdim=True)
    return (grey + (t - grey) * c.each(0, 1.3, batch)).clamp(0, 1.2)


def ground(c, batch, side):
    """Pictures of no crab: colours in fields and streaks."""
    colour = torch.sigmoid(c.normal(1.2, batch, 3, 1, 1) * 0.5 + c.normal(1.2, batch, 1, 1, 1))
    x = colour * torch.exp(field(c, batch, side, 2.0) * c.each(0, 0.5, batch) + grain(c, batch, side) * c.each(0, 0.5, batch))
    other = torch.sigmoid(c.normal(1.0, batch, 3, 1, 1) + c.normal(1.0, batch, 1, 1, 1))
    patch = torch.sigmoid((field(c, batch, side) - c.each(-0.5, 2.5, batch)) * c.each(2, 20, batch)) * c.often(0.6, batch)
    x = (x * (1 - patch) + other * patch).clamp(0, 1.2)
    m = c.often(0.55, batch)
    return natural(c, batch, side) * m + x * (1 - m)


def shell(c, x, valid, rim):
    """Blotches, pale halves, the sky in a wet shell, spots, sparks, mud: what makes real shells unlike rendered ones."""
    b, side = x.shape[0], x.shape[-1]
    inside = torch.sigmoid(-rim / 0.5)
    area = inside.sum((2, 3), keepdim=True) + 1e-6
    mean = (x * inside).sum((2, 3), keepdim=True) / area
    outside = valid * (1 - inside)
    around = (x * outside).sum((2, 3), keepdim=True) / (outside.sum((2, 3), keepdim=True) + 1e-6)
    y = x
    t = c.each(0.3, 0.9, b) * c.often(0.25, b)  # the colour of the ground
    like = around * torch.exp(c.normal(0.25, b, 1, 1, 1) + c.normal(0.08, b, 3, 1, 1))
    y = y * (1 - t) + t * (like + (y - mean) * c.each(0.3, 1, b))
    t = c.each(0.4, 1.0, b) * c.often(0.25, b)  # any colour
    like = torch.sigmoid(c.normal(0.7, b, 3, 1, 1) + c.normal(1.3, b, 1, 1, 1))
    y = y * (1 - t) + t * like * (y.mean(1, keepdim=True) + 0.03) / (mean.mean(1, keepdim=True) + 0.03)
    y = mean + (y - mean) * (1 - c.each(0, 0.8, b) * c.often(0.45, b))
    # A surface from elsewhere, in the light of the shell or flat; now and then over limbs and ground too.
    t = c.each(0.4, 1.0, b) * c.often(0.55, b)
    bright = x.mean(1, keepdim=True)
    lit = ((bright + 0.02) / (mean.mean(1, keepdim=True) + 0.02)).clamp(0.1, 4) ** c.each(0, 1.3, b)
    surface = natural(c, b, side)
    own = c.each(0, 1, b) * c.often(0.5, b)  # the shell's own colour
    grey = surface.mean(1, keepdim=True)
    surface = surface * (1 - own) + own * mean * grey / (grey.mean((2, 3), keepdim=True) + 0.02)
    y = y * (1 - t) + t * surface * lit
    for share in (0.6, 0.4):  # blotches
        y = y * torch.exp(field(c, b, side, 1.5) * c.each(0.1, 0.6, b) * c.often(share, b) + c.normal(0.05, b, 3, 1, 1))
    u, v = grid(side, x.device)
    a = c.each(0, 2 * math.pi, b)
    d = (u * a.cos() + v * a.sin()) / area.sqrt()
    s = torch.sigmoid((d - c.each(-0.4, 0.5, b)) / c.each(0.02, 0.15, b)) * c.each(0.3, 0.9, b) * c.often(0.35, b)
    y = y * (1 - s) + s * mean * torch.exp(c.normal(0.6, b, 1, 1, 1) + 0.2 + c.normal(0.25, b, 3, 1, 1))
    f = field(c, b, side) + field(c, b, side, 3.0) * c.each(0, 0.7, b)  # the sky
    s = torch.sigmoid((f - c.each(-0.3, 1.6, b)) / c.each(0.03, 0.4, b)) * c.each(0.25, 0.95, b) * c.often(0.6, b)
    sky = c.each(0.35, 1.2, b) * torch.stack([1 - c.uniform(0, 0.2, b), 1 - c.uniform(0, 0.1, b), torch.ones(b, device=x.device)], 1)[..., None, None]
    y = y * (1 - s) + s * sky
    f = field(c, b, side, 4.5)  # spots
    s = torch.sigmoid((f - c.each(0.8, 2.2, b)) / 0.15) * c.each(-0.5, 0.8, b) * c.often(0.35, b)
    y = y * (1 - s)
    f = field(c, b, side, 4.5)  # sparks
    s = torch.sigmoid((f - c.each(2.0, 3.2, b)) / 0.2) * c.each(0.3, 1.0, b) * c.often(0.4, b)
    y = y + s
    f = field(c, b, side, 1.5)  # mud or sand, over the rim too
    s = torch.sigmoid((f - c.each(0.4, 2.5, b)) / c.each(0.05, 0.4, b)) * c.each(0.4, 1.0, b) * c.often(0.2, b)
    y, mud = y.clamp(0, 1.5), around * torch.exp(c.normal(0.3, b, 1, 1, 1))
    over = c.often(0.12, b)
    x = x * (1 - over * t) + over * t * surface * lit
    size = area.sqrt()
    # A margin paler or darker than the rest, and the dark line beneath it.
    band = torch.sigmoid(-rim / 0.5) * torch.sigmoid((rim + size * c.each(0.02, 0.12, b)) / 1.0)
    y = y * (1 + band * c.each(-0.6, 0.8, b) * c.often(0.35, b))
    crevice = torch.exp(-(rim.clamp(min=0) / (size * c.each(0.01, 0.07, b))) ** 2) * c.each(0.2, 0.9, b) * c.often(0.45, b)
    out = x * (1 - inside) * (1 - crevice) + y * inside
    out = limbs(c, out, y, rim, size)
    near = torch.sigmoid((5 - rim) / 2)
    return out * (1 - s * near) + mud * s * near


def limbs(c, x, painted, rim, size):
    """Claws and legs that lie against the shell, painted as it is: only the line between tells them apart."""
    b, side = x.shape[0], x.shape[-1]
    u, v = grid(side, x.device)
    inside = torch.sigmoid(-rim / 0.5)
    area = inside.sum((2, 3), keepdim=True) + 1e-6
    middle = [(inside * d).sum((2, 3), keepdim=True) / area for d in (u, v)]
    colour = (painted * inside).sum((2, 3), keepdim=True) / area
    any_limb = c.often(0.6, b)
    for _ in range(6):
        a = c.each(0, 2 * math.pi, b)
        away = size * c.each(0.55, 1.05, b)
        px, py = middle[0] + away * a.cos(), middle[1] + away * a.sin()
        # Along the rim more often than away from it.
        d = a + math.pi / 2 + c.normal(0.5, b, 1, 1, 1) + math.pi / 2 * c.often(0.25, b)
        along = (u - px) * d.cos() + (v - py) * d.sin()
        across = (v - py) * d.cos() - (u - px) * d.sin() + along**2 / size * c.normal(0.5, b, 1, 1, 1)
        thick = size * torch.exp(c.each(math.log(0.04), math.log(0.2), b)) * (1 + 0.25 * torch.cos(along / size * c.each(2, 9, b)))
        off = torch.hypot(F.relu(along.abs() - size * c.each(0.05, 0.45, b)), across) - thick
        m = torch.sigmoid(-off / 0.5) * torch.sigmoid((rim - 0.3) / 0.4) * any_limb * c.often(0.7, b)
        round_ = 1 - c.each(0.1, 0.7, b) * (across / thick).clamp(-1, 1) ** 2
        like = colour * torch.exp(c.normal(0.25, b, 1, 1, 1) + c.normal(0.1, b, 3, 1, 1)) * torch.exp(field(c, b, side, 2) * c.each(0, 0.35, b))
        # Another part of the shell's own pattern.
        moved = torch.roll(painted, (side // 3, side // 4), (2, 3))
        own = c.often(0.3, b)
        shade = 1 - torch.exp(-(rim.clamp(min=0) / (size * 0.03)) ** 2) * c.each(0, 0.8, b)
        x = x * (1 - m) + m * (like * (1 - own) + moved * own) * round_ * shade
    return x


def margin(c, x, rim):
    """A broad margin of another colour and pattern, notched along the rim, all round or on one side only."""
    b, side = x.shape[0], x.shape[-1]
    u, v = grid(side, x.device)
    inside = torch.sigmoid(-rim / 0.5)
    area = inside.sum((2, 3), keepdim=True) + 1e-6
    size = area.sqrt()
    mean = (x * inside).sum((2, 3), keepdim=True) / area
    broad = size * c.each(0.04, 0.2, b) * (1 + 0.3 * field(c, b, side, 1.5))
    a = c.each(0, 2 * math.pi, b)
    whole = c.often(0.5, b)
    part = torch.sigmoid(((u * a.cos() + v * a.sin()) / size - c.each(-0.4, 0.3, b)) / c.each(0.05, 0.3, b))
    m = inside * torch.sigmoid((rim + broad) / c.each(0.4, 3.0, b)) * (whole + (1 - whole) * part)
    m = m * c.each(0.4, 1.0, b) * c.often(0.5, b)
    outside = 1 - torch.sigmoid((3 - rim) / 0.5)
    around = (x * outside).sum((2, 3), keepdim=True) / (outside.sum((2, 3), keepdim=True) + 1e-6)
    like = c.often(0.35, b)  # the ground
    colour = (mean * (1 - like) + around * like) * torch.exp(c.normal(0.4, b, 1, 1, 1) * (1 - 0.6 * like) + c.normal(0.15, b, 3, 1, 1))
    surface = natural(c, b, side)
    surface = surface * mean / (surface.mean((2, 3), keepdim=True) + 0.02)
    own = c.often(0.4, b)
    middle = [(inside * d).sum((2, 3), keepdim=True) / area for d in (u, v)]
    notches = torch.sin(torch.atan2(v - middle[1], u - middle[0]) * c.each(8, 34, b).round() + c.each(0, 6.3, b))
    notched = torch.exp(c.each(0, 0.3, b) * c.often(0.5, b) * notches) * torch.exp(field(c, b, side, 3) * c.each(0, 0.4, b))
    return x * (1 - m) + m * (colour * (1 - own) + surface * own) * notched


def folded(c, x, rim, middle, axis, front):
    """Claws folded against the front of the shell and legs against its back, of its own colour, with a dark seam or none.

    middle, axis, front (B, 2): window px and unit vectors. Now and then a claw lies over the edge; the truth stays.
    """
    b, side = x.shape[0], x.shape[-1]
    u, v = torch.meshgrid(*[torch.arange(side, device=x.device).float()] * 2, indexing="xy")
    du, dv = u[None, None] - middle[:, 0, None, None, None], v[None, None] - middle[:, 1, None, None, None]
    on = lambda d: du * d[:, 0, None, None, None] + dv * d[:, 1, None, None, None]
    along, ahead = on(axis), on(front)
    inside = torch.sigmoid(-rim / 0.5)
    area = inside.sum((2, 3), keepdim=True) + 1e-6
    size = area.sqrt()
    mean = (x * inside).sum((2, 3), keepdim=True) / area
    patch = torch.roll(x, (side // 3, side // 4), (2, 3))
    both, any_limb = c.often(0.7, b), c.often(0.6, b)
    only = torch.where(c.often(0.5, b) > 0.5, 1.0, -1.0)
    # One colour, seam and light for all limbs of a crab.
    like = mean * torch.exp(c.normal(0.2, b, 1, 1, 1) + c.normal(0.1, b, 3, 1, 1))
    seam, seam_px = c.each(0, 0.9, b) * c.often(0.6, b), size * c.each(0.008, 0.04, b)
    own, gloss, dark = c.often(0.35, b), c.each(0.1, 0.7, b), c.often(0.4, b)
    over = size * c.each(0.01, 0.08, b) * c.often(0.2, b)
    for sign in (1.0, -1.0):
        angle = torch.atan2(ahead, along * sign)  # 0 at the side, a right angle at the front
        here = any_limb * torch.maximum(both, (only == sign).float())
        # Elbow and hand of the claw, then legs: where about the shell, how long and how thick.
        limbs_of = [(0.15, 0.6, 0.2, 0.5, 0.06, 0.24, 0.9), (0.65, 1.15, 0.25, 0.55, 0.06, 0.24, 0.9)]
        limbs_of += [(-0.5, 0.1, 0.08, 0.3, 0.03, 0.12, 0.35), (-1.1, -0.4, 0.08, 0.3, 0.03, 0.12, 0.35)]
        for at, (low, high, short, long, thin, thick, share) in enumerate(limbs_of):
            away = (angle - c.each(low, high, b)) / c.each(short, long, b)
            thickness = size * c.each(thin, thick, b) * F.relu(1 - away**2).sqrt() * (1 + 0.1 * field(c, b, side, 1))
            edge = over if at < 2 else torch.zeros_like(over)
            tight = rim + edge - size * c.each(0, 0.03, b) * c.often(0.3, b)
            m = torch.sigmoid((thickness - tight) / 0.5) * torch.sigmoid((tight - 0.2) / 0.4) * (thickness > 0.3).float()
            m = m * here * c.often(share, b)
            place = (tight / (thickness + 0.5)).clamp(0, 1)
            round_ = 1 - gloss * (2 * place - 1) ** 2
            shade = 1 - seam * torch.exp(-((tight.clamp(min=0) / seam_px) ** 2))
            colour = like * torch.exp(field(c, b, side, 2) * c.each(0, 0.35, b))
            colour = colour * (1 - own) + own * patch
            glint = torch.sigmoid((field(c, b, side, 4.0) - c.each(1.2, 2.8, b)) / 0.2) * c.each(0, 0.8, b) * c.often(0.4, b)
            colour = colour * round_ * shade + glint
            if at == 1:  # dark fingers
                tip = torch.sigmoid((away - c.each(0.1, 0.8, b)) / 0.1) * dark
                colour = colour * (1 - 0.85 * tip)
            x = x * (1 - m) + m * colour
    return x


def strokes(c, x, valid, rim, share, over):
    """Fingers, ropes, rails, rulers, weed: long things lying about, seldom over the shell unless `over`."""
    b, side = x.shape[0], x.shape[-1]
    u, v = grid(side, x.device)
    for _ in range(3):
        px, py = (c.each(-0.6, 0.6, b) * side for _ in (0, 1))
        a = c.each(0, 2 * math.pi, b)
        length = c.each(0.2, 1.5, b) * side
        du, dv = u - px, v - py
        along = du * a.cos() + dv * a.sin()
        across = dv * a.cos() - du * a.sin() + along**2 / side * c.normal(0.15, b, 1, 1, 1)
        thick = torch.exp(c.each(math.log(0.012), math.log(0.09), b)) * side
        off = torch.hypot(F.relu(along.abs() - length / 2), across) - thick
        m = torch.sigmoid(-off / 0.5) * c.often(share, b)
        keep = c.often(over, b)
        m = m * (keep + (1 - keep) * torch.sigmoid((rim - 0.5) / 0.5))
        skin = torch.tensor([0.85, 0.62, 0.52], device=x.device)[None, :, None, None] * torch.exp(c.normal(0.35, b, 1, 1, 1))
        any_colour = torch.sigmoid(c.normal(0.8, b, 3, 1, 1) + c.normal(1.3, b, 1, 1, 1))
        human = c.often(0.4, b)
        colour = skin * human + any_colour * (1 - human)
        round_ = 1 - 0.5 * c.each(0, 1, b) * (across / thick).clamp(-1, 1) ** 2
        x = x * (1 - m) + m * colour * round_ * torch.exp(field(c, b, side, 2) * c.each(0, 0.25, b))
        valid = torch.maximum(valid, (m > 0.5).float())
    return x, valid


def plates(c, x, valid, rim, share):
    """Cards, lids, stones: flat things beside the shell, some as round as one."""
    b, side = x.shape[0], x.shape[-1]
    u, v = grid(side, x.device)
    for _ in range(2):
        px, py = (c.each(-0.55, 0.55, b) * side for _ in (0, 1))
        a = c.each(0, 2 * math.pi, b)
        du, dv = (u - px) * a.cos() + (v - py) * a.sin(), (v - py) * a.cos() - (u - px) * a.sin()
        long = torch.exp(c.each(math.log(0.04), math.log(0.3), b)) * side
        short = long * c.each(0.4, 1, b)
        box = torch.maximum(du.abs() - long, dv.abs() - short)
        oval = (torch.hypot(du / long, dv / short) - 1) * short
        is_oval = c.often(0.3, b)
        off = oval * is_oval + box * (1 - is_oval)
        m = torch.sigmoid(-off / 0.5) * c.often(share, b) * torch.sigmoid((rim - 0.5) / 0.5)
        colour = torch.sigmoid(c.normal(0.9, b, 3, 1, 1) + c.normal(1.3, b, 1, 1, 1))
        dark = torch.sigmoid(-(off - 2) / 2) * (1 - m) * c.each(0, 0.5, b) * c.often(share, b) * torch.sigmoid((rim - 0.5) / 0.5)
        x = x * (1 - dark)
        x = x * (1 - m) + m * colour * torch.exp(field(c, b, side, 2) * c.each(0, 0.4, b))
        valid = torch.maximum(valid, (m > 0.5).float())
    return x, valid


def light(c, x, valid):
    """Light, colour, shadow, blur, noise, and what the photo does not show."""
    b, side = x.shape[0], x.shape[-1]
    u, v = grid(side, x.device)
    x = x.clamp(1e-4, 1.5) ** torch.exp(c.normal(0.25, b, 1, 1, 1))
    x = x * torch.exp(c.normal(0.2, b, 3, 1, 1))
    grey = x.mean(1, keepdim=True)
    plain = 1 - c.plain * c.each(0.3, 0.95, b) * c.often(0.6, b)
    x = grey + (x - grey) * (0.95 + c.normal(0.35, b, 1, 1, 1)).clamp(0, 1.7) * plain
    for share in (0.4, 0.15):  # shadows
        a = c.each(0, 2 * math.pi, b)
        d = u * a.cos() + v * a.sin() - c.each(-0.5, 0.5, b) * side
        broad = c.each(0.06, 1, b) * side
        s = torch.sigmoid(d / c.each(0.4, 3, b)) * torch.sigmoid((broad - d) / c.each(0.4, 3, b))
        x = x * (1 - s * c.each(0.2, 0.75, b) * c.often(share, b))
    x = x * torch.exp(field(c, b, side, -1) * 0.25 * c.often(0.35, b))
    sigma = c.each(0.25, 1.3, b)
    k = torch.exp(-torch.tensor([4.0, 1.0, 0.0, 1.0, 4.0], device=x.device) / (2 * sigma[:, :, 0] ** 2))
    k = k / k.sum(-1, keepdim=True)
    flat = F.pad(x.reshape(1, b * 3, side, side), (2, 2, 2, 2), mode="reflect")
    k3 = k.repeat_interleave(3, 0)
    flat = F.conv2d(F.conv2d(flat, k3[:, :, None], groups=b * 3), k3[..., None], groups=b * 3)
    m = c.often(0.45, b)
    x = flat.reshape(b, 3, side, side) * m + x * (1 - m)
    noise = c.normal(1, b, 3, side, side) * 0.6 + c.normal(1, b, 1, side, side)
    x = x + noise * c.each(0, 0.025, b)
    # A photo that ends here; a card on the shell.
    a = c.each(0, 2 * math.pi, b)
    ends = ((u * a.cos() + v * a.sin()) > c.each(0.15, 0.7, b) * side).float() * c.often(0.2, b)
    return x.clamp(0, 1.5), valid * (1 - ends)


def normalised(x, valid):
    """What src/shell feeds to its networks: R, G, B less their means over their common spread, and the validity."""
    valid = (valid > 0.5).float()
    count = valid.sum((2, 3), keepdim=True).clamp(min=1)
    mean = (x * valid).sum((2, 3), keepdim=True) / count
    spread = (((x - mean) ** 2 * valid).sum((1, 2, 3), keepdim=True) / (3 * count)).sqrt() + 3 / 255
    return torch.cat([(x - mean) / spread * valid, valid], 1)
