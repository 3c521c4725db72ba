"""Writes geometry.json: what OpenCV says of forty seeded views of an ID-1 card.

    pip install opencv-python-headless==5.0.0.93 numpy; python3 tests/reference/geometry.py

Used by tests/it/geometry.rs. Functions asked: findHomography (four points, method 0), solvePnPGeneric
(SOLVEPNP_IPPE, both poses and their errors), projectPoints.
"""

import json
import math
from pathlib import Path

import cv2
import numpy as np

CARD = np.array([[-42.80, 26.99, 0], [42.80, 26.99, 0], [42.80, -26.99, 0], [-42.80, -26.99, 0]])
# findHomography computes from 32-bit floats: hundredths of a millimetre and 64ths of a pixel are exact there.
CARD_HUNDREDTHS = np.round(CARD[:, :2] * 100)


def rotation(tilt_deg, azimuth_deg, turn_deg):
    tilt, azimuth, turn = (math.radians(a) for a in (tilt_deg, azimuth_deg, turn_deg))
    axis = np.array([math.cos(azimuth), math.sin(azimuth), 0.0]) * tilt
    spin = np.array([0.0, 0.0, turn])
    facing = np.diag([1.0, -1.0, -1.0])
    return cv2.Rodrigues(axis)[0] @ cv2.Rodrigues(spin)[0] @ facing


def case(random, index):
    focal = random.uniform(1500, 4500)
    centre = np.array([2015.5, 1511.5]) + random.uniform(-40, 40, 2)
    camera = np.array([[focal, 0, centre[0]], [0, focal, centre[1]], [0, 0, 1]])
    near_frontal = index % 8 == 7
    tilt = random.uniform(0.05, 1.0) if near_frontal else random.uniform(3, 50)
    turned = rotation(tilt, random.uniform(0, 360), random.uniform(0, 360))
    distance = random.uniform(250, 1200)
    shift = np.array([random.uniform(-0.25, 0.25) * distance, random.uniform(-0.2, 0.2) * distance, distance])
    vector = cv2.Rodrigues(turned)[0]
    noise_px = [0.0, 0.3, 1.0][index % 3]
    exact = cv2.projectPoints(CARD, vector, shift, camera, None)[0].reshape(4, 2)
    corners = exact + random.normal(0, noise_px, (4, 2)) if noise_px else exact
    on_grid = np.round(corners * 64) / 64
    homography = cv2.findHomography(CARD_HUNDREDTHS, on_grid, 0)[0]
    _, rvecs, tvecs, errors = cv2.solvePnPGeneric(
        CARD, corners.reshape(4, 1, 2), camera, None, flags=cv2.SOLVEPNP_IPPE)
    points = random.uniform([-200, -200, -40], [200, 200, 60], (4, 3))
    seen = cv2.projectPoints(points, vector, shift, camera, None)[0].reshape(4, 2)
    return {
        "focal_px": focal,
        "principal_px": centre.tolist(),
        "tilt_deg": tilt,
        "noise_px": noise_px,
        "corners_px": corners.tolist(),
        "corners_64ths_px": on_grid.tolist(),
        "homography_from_hundredths": homography.tolist(),
        "poses": [
            {"rotation": cv2.Rodrigues(r)[0].tolist(), "translation_mm": t.ravel().tolist(), "rmse_px": float(e[0])}
            for r, t, e in zip(rvecs, tvecs, errors)
        ],
        "rotation": turned.tolist(),
        "translation_mm": shift.tolist(),
        "points_mm": points.tolist(),
        "points_px": seen.tolist(),
    }


random = np.random.default_rng(7810)
cases = [case(random, index) for index in range(40)]
text = json.dumps({"opencv": cv2.__version__, "cases": cases}, separators=(",", ":")).replace('},{"focal', '},\n{"focal')
Path(__file__).with_suffix(".json").write_text(text + "\n")
