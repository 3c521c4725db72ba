"""Solves made-up photos of one crab with scipy's least squares, for tests/it/joint.rs.

  python3 joint.py > joint.json        (numpy 2, scipy 1; the file says which)

The model is that of src/width/problem.rs, written again: both points in the card's frame, each camera's turn, shift, ln
focal length and principal point; evidence: corners, points, priors of camera, height and how askew the crab stands.
Cauchy's loss on the heights is written as its square root. The standard uncertainty follows from the Jacobian that scipy
gives, plus what all photos have in common.
"""
import json
import sys

import numpy as np
import scipy
from scipy.optimize import least_squares
from scipy.spatial.transform import Rotation

CARD = np.array([[-42.8, 26.99, 0], [42.8, 26.99, 0], [42.8, -26.99, 0], [-42.8, -26.99, 0]])
SIZE = (4032, 3024)
FOCAL = 3028.7
CENTRE = np.array([(SIZE[0] - 1) / 2, (SIZE[1] - 1) / 2])
SHARE, SHARE_U, OFFSET_U, ASKEW, CAUCHY = 0.21, 0.035, 0.76, 0.045, 2.385
CORNER_U, POINT_U, FOCAL_U, REFOCUS_U, PRINCIPAL_U = 0.4, 2.0, 0.02, 0.003, 16.0
CARD_U, LENS_U = 0.00084, 0.001


def looking(eye, target):
    z = (target - eye) / np.linalg.norm(target - eye)
    x = np.cross(z, [0, 1, 0])
    x /= np.linalg.norm(x)
    R = np.stack([x, np.cross(z, x), z])
    return R, -R @ eye


def project(R, t, f, c, points):
    p = points @ R.T + t
    return f * p[:, :2] / p[:, 2:] + c


def case(name, eyes, shell, seed, one_lens):
    rng = np.random.default_rng(seed)
    photos = []
    for eye in eyes:
        R, t = looking(np.array(eye, float), np.array([0.0, 60, 0]))
        f = FOCAL * 1.006
        corners = project(R, t, f, CENTRE, CARD) + rng.normal(0, CORNER_U, (4, 2))
        points = project(R, t, f, CENTRE, shell) + rng.normal(0, POINT_U, (2, 2))
        photos.append(dict(R=R, t=t, corners=corners, points=points))
    n = len(photos)

    def unpack(x):
        for i, photo in enumerate(photos):
            v = x[6 + 9 * i:15 + 9 * i]
            yield photo, Rotation.from_rotvec(v[:3]).as_matrix() @ photo["R"], photo["t"] + v[3:6], FOCAL * np.exp(v[6]), CENTRE + v[7:9]

    width0 = np.linalg.norm(shell[0] - shell[1])
    off = FOCAL_U**2 - REFOCUS_U**2 if one_lens else 0.0
    root = np.linalg.inv(np.linalg.cholesky(np.full((n, n), off) + np.eye(n) * (FOCAL_U**2 - off)))

    def residuals(x):
        P, out, focal = x[:6].reshape(2, 3), [], []
        for k, (photo, R, t, f, c) in enumerate(unpack(x)):
            out += [((project(R, t, f, c, CARD) - photo["corners"]) / CORNER_U).ravel(),
                    ((project(R, t, f, c, P) - photo["points"]) / POINT_U).ravel(), (c - CENTRE) / PRINCIPAL_U]
            focal.append(x[6 + 9 * k + 6])
        width = np.linalg.norm(P[0] - P[1])
        mean = (P[:, 2].mean() - SHARE * width) / np.hypot(SHARE_U * width0, OFFSET_U)
        apart = (P[0, 2] - P[1, 2]) / (ASKEW * width0)
        robust = lambda r: np.sign(r) * CAUCHY * np.sqrt(np.log1p((r / CAUCHY) ** 2))
        return np.concatenate(out + [root @ np.array(focal), [robust(mean), robust(apart)]])

    x0 = np.concatenate([shell.ravel(), np.zeros(9 * n)])
    scale = np.tile([1e-3, 1e-3, 1e-3, 1, 1, 1, 1e-3, 1, 1], n)
    best = least_squares(residuals, x0, x_scale=np.concatenate([np.ones(6), scale]), xtol=1e-15, ftol=1e-15, gtol=1e-15, max_nfev=4000)
    P = best.x[:6].reshape(2, 3)
    width = np.linalg.norm(P[0] - P[1])
    along = (P[0] - P[1]) / width
    gradient = np.concatenate([along, -along, np.zeros(9 * n)])
    covariance = np.linalg.inv(best.jac.T @ best.jac)
    u = np.sqrt(gradient @ covariance @ gradient + (CARD_U * width) ** 2 + (LENS_U * width) ** 2)
    return dict(name=name, one_lens=one_lens,
                photos=[dict(corners_px=p["corners"].round(6).tolist(), points_px=p["points"].round(6).tolist()) for p in photos],
                points_mm=P.round(6).tolist(), width_mm=round(width, 6), u_mm=round(u, 5), cost=round(2 * best.cost, 6))


level, askew = [[-80, 110, 34], [79, 113, 34]], [[-80, 110, 41], [79, 113, 31]]
south, north, east = [20, -150, 520], [-20, 300, 500], [260, 40, 520]
cases = [
    case("one photo", [south], np.array(level, float), 1, False),
    case("one photo, askew", [north], np.array(askew, float), 2, False),
    case("two photos", [south, north], np.array(level, float), 3, False),
    case("two photos of one lens, askew", [south, north], np.array(askew, float), 4, True),
    case("two photos, higher than expected", [south, east], np.array(askew, float) + [0, 0, 9], 5, True),
    case("three photos of one lens", [south, north, east], np.array(askew, float), 6, True),
]
json.dump(dict(made_by=f"joint.py, numpy {np.__version__}, scipy {scipy.__version__}", size_px=SIZE, focal_px=FOCAL, corner_u_px=CORNER_U,
               point_u_px=POINT_U, focal_relative_u=FOCAL_U, principal_u_px=PRINCIPAL_U, cases=cases), sys.stdout, indent=1)
