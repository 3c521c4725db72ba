"""Photos with truth, held so that any window of the plane of the shell's edge can be cut from any of them.

Frames and fields of the JSON files: samples/README.md. Plane: mm of the card's frame, y to the top of the print.
"""
import glob
import json
import os
from concurrent.futures import ProcessPoolExecutor

import numpy as np
import torch
from PIL import Image
from scipy.spatial import cKDTree
from torch.nn import functional as F

HEIGHT_OVER_WIDTH = {"level": 0.0, "deck": 0.22, "back": -0.14}  # as expected_edge_height_mm of src/shell/window.rs
SDF_SIDE, SDF_MM = 256, 1.5
LEVELS = 5


def homography(truth, height):
    """Plane at `height` above the card's face, mm, to photo px, without the lens's k1."""
    c, p = truth["camera"], truth["card"]["pose_card_to_camera"]
    K = np.array([[c["focal_px"], 0, c["cx"]], [0, c["focal_px"], c["cy"]], [0, 0, 1]])
    R, t = np.array(p["R"]), np.array(p["t_mm"])
    return K @ np.stack([R[:, 0], R[:, 1], R @ [0, 0, height] + t], 1)


def through(H, points):
    q = np.concatenate([points, np.ones(points.shape[:-1] + (1,))], -1) @ H.T
    return q[..., :2] / q[..., 2:]


def names(folders, scenes="all"):
    """JSON files of `folders`; `scenes` "train" leaves out, "held" keeps, every third scene of the train sets."""
    found = []
    for path in sorted(f for folder in folders for f in glob.glob(os.path.join(folder, "*.json"))):
        number = "".join(ch for ch in os.path.basename(path).split("-")[-1] if ch.isdigit())
        held = int(number) % 3 == 0
        if scenes == "all" or (scenes == "held") == held:
            found.append(path)
    return found


def opened(path):
    """The photo of a JSON file, upright, with its halved copies, and what the file says."""
    with open(path) as file:
        truth = json.load(file)
    image = Image.open(next(path[:-5] + end for end in (".jpg", ".webp") if os.path.exists(path[:-5] + end)))
    orientation = image.getexif().get(0x0112, 1)
    turn = {3: Image.Transpose.ROTATE_180, 6: Image.Transpose.ROTATE_270, 8: Image.Transpose.ROTATE_90}
    image = (image.transpose(turn[orientation]) if orientation in turn else image).convert("RGB")
    levels = [np.array(image)]
    for k in range(1, LEVELS):
        size = [max(2, -(-n // 2**k)) for n in image.size]
        levels.append(np.array(image.resize(size, Image.Resampling.BOX)))
    return levels, Photos.row(truth)


class Photos:
    def __init__(self, paths, device="cpu"):
        pixels, at, rows = [], 0, []
        self.names = [os.path.basename(path)[:-5] for path in paths]
        with ProcessPoolExecutor(max_workers=min(12, os.cpu_count() or 1)) as pool:
            for levels, row in pool.map(opened, paths, chunksize=4):
                places = []
                for level in levels:
                    h, w = level.shape[:2]
                    pixels.append(torch.from_numpy(level.reshape(-1, 3)))
                    places.append((at, w, h))
                    at += w * h
                rows.append(row | dict(place=np.array(places)))
        self.pixels = torch.cat(pixels).to(device)
        for key in rows[0]:
            setattr(self, key, torch.from_numpy(np.stack([row[key] for row in rows])).to(device))
        self.device, self.count = device, len(rows)

    @staticmethod
    def row(truth):
        shell, card = truth["shell"], truth["card"]
        H = homography(truth, HEIGHT_OVER_WIDTH[card["placement"]] * shell["width_mm"])
        back = lambda px: through(np.linalg.inv(H), np.array(px, float))
        outline = back(shell["outline_px"])
        # Evenly along the rim, so that all photos have the same number.
        loop = np.concatenate([outline, outline[:1]])
        length = np.concatenate([[0], np.cumsum(np.hypot(*np.diff(loop, axis=0).T))])
        even = np.linspace(0, length[-1], 361)[:-1]
        outline = np.stack([np.interp(even, length, loop[:, k]) for k in (0, 1)], 1)
        tips, notches = back(shell["tips_px"]), back(shell["notchs_px"])
        across = notches[1] - notches[0]
        under = bool(truth["scene"].get("upside_down"))
        axis = across / np.hypot(*across)
        front = np.array([-axis[1], axis[0]]) * (-1 if under else 1)
        # Middle and width of the body without long spines: by its area.
        x, y = outline.T
        cross = x * np.roll(y, -1) - np.roll(x, -1) * y
        area = abs(cross.sum()) / 2
        middle = np.array([((v + np.roll(v, -1)) * cross).sum() for v in (x, y)]) / (3 * cross.sum())
        corners = np.array(card["corners_px"], float)
        f32 = np.float32
        return dict(
            H=H.astype(f32), outline=outline.astype(f32), middle=middle.astype(f32), axis=axis.astype(f32),
            front=front.astype(f32), tips=tips.astype(f32), notches=notches.astype(f32), card=back(corners).astype(f32),
            width=f32(np.sqrt(area / 0.52)), sdf=signed_distance(outline, middle), visible=np.array(shell["point_visible"]), under=np.array(under),
            px_per_mm=f32(truth["camera"]["focal_px"] / card["distance_mm"]), held=np.array(bool(truth["scene"].get("held"))),
        )

    def cut(self, which, plane):
        """RGB 0..1 (B, 3, S, S) and validity (B, 1, S, S) at `plane` (B, S, S, 2) mm of photos `which`."""
        H = self.H[which]
        q = plane @ H[:, None, :, :2].transpose(-1, -2) + H[:, None, None, :, 2]
        at = q[..., :2] / q[..., 2:]
        step = (at[:, 1:, 1:] - at[:, :-1, :-1]).norm(dim=-1).flatten(1).median(1).values / 2**0.5
        level = (torch.log2(step.clamp(min=1.0)) + 0.3).floor().clamp(0, LEVELS - 1).long()
        offset, w, h = self.place[which, level].unbind(-1)
        scale = (2.0**level)[:, None, None]
        x, y = ((at[..., k] + 0.5) / scale - 0.5 for k in (0, 1))
        w, h, offset = w[:, None, None], h[:, None, None], offset[:, None, None]
        valid = (x > -0.5) & (x < w - 0.5) & (y > -0.5) & (y < h - 0.5) & (q[..., 2] > 0)
        inside = lambda v, n: torch.minimum(v.clamp(min=0), n - 1.001)
        x, y = inside(x.nan_to_num(0), w), inside(y.nan_to_num(0), h)
        x0, y0 = x.floor().long(), y.floor().long()
        fx, fy = (x - x0)[..., None], (y - y0)[..., None]
        value = lambda i, j: self.pixels[offset + (y0 + j) * w + x0 + i].float()
        rgb = (value(0, 0) * (1 - fx) + value(1, 0) * fx) * (1 - fy) + (value(0, 1) * (1 - fx) + value(1, 1) * fx) * fy
        return rgb.permute(0, 3, 1, 2) / 255, valid[:, None].float()

    def distance(self, which, plane):
        """Signed distance to the rim in mm (B, 1, S, S), negative inside."""
        half = SDF_SIDE * SDF_MM / 2
        grid = (plane - self.middle[which][:, None, None]) / half
        return F.grid_sample(self.sdf[which][:, None].float(), grid, padding_mode="border", align_corners=False)

    def on_card(self, which, plane):
        """1 on the card (B, 1, S, S)."""
        corners = self.card[which]
        sides = []
        for k in range(4):
            a, b = corners[:, k, None, None], corners[:, (k + 1) % 4, None, None]
            d, e = b - a, plane - a
            sides.append(d[..., 0] * e[..., 1] - d[..., 1] * e[..., 0])
        sides = torch.stack(sides)
        return ((sides > 0).all(0) | (sides < 0).all(0))[:, None].float()


def signed_distance(outline, middle):
    """Distance to a closed line in mm on a square about `middle`, negative inside."""
    axis = (np.arange(SDF_SIDE) + 0.5 - SDF_SIDE / 2) * SDF_MM
    x, y = axis + middle[0], axis + middle[1]
    fine = np.linspace(0, 1, 8, endpoint=False)[:, None, None]
    following = np.roll(outline, -1, 0)
    dense = (outline * (1 - fine) + following * fine).reshape(-1, 2)
    at = np.stack(np.meshgrid(x, y), -1)
    near, _ = cKDTree(dense).query(at.reshape(-1, 2))
    inside = np.zeros((SDF_SIDE, SDF_SIDE), bool)
    for row, level in enumerate(y):
        meets = (outline[:, 1] > level) != (following[:, 1] > level)
        a, b = outline[meets], following[meets]
        crossings = np.sort((b[:, 0] - a[:, 0]) * (level - a[:, 1]) / (b[:, 1] - a[:, 1]) + a[:, 0])
        inside[row] = np.searchsorted(crossings, x) % 2 == 1
    near = near.reshape(SDF_SIDE, SDF_SIDE)
    return np.where(inside, -near, near).astype(np.float16)


def window(centre, scale, axis, mirrored, side):
    """Plane mm (B, S, S, 2) of a window's pixels; rows run down, as Window::plane_of of src/shell/window.rs."""
    v, u = torch.meshgrid(*[torch.arange(side, device=centre.device) - (side - 1) / 2] * 2, indexing="ij")
    across = torch.stack([axis[:, 1], -axis[:, 0]], 1) * torch.where(mirrored, -1.0, 1.0)[:, None]
    step = scale[:, None, None, None]
    return centre[:, None, None] + (axis[:, None, None] * u[..., None] + across[:, None, None] * v[..., None]) * step


def in_window(points, centre, scale, axis, mirrored, side):
    """Window px (B, N, 2) of plane points (B, N, 2)."""
    across = torch.stack([axis[:, 1], -axis[:, 0]], 1) * torch.where(mirrored, -1.0, 1.0)[:, None]
    d = (points - centre[:, None]) / scale[:, None, None]
    return torch.stack([(d * axis[:, None]).sum(-1), (d * across[:, None]).sum(-1)], -1) + (side - 1) / 2
