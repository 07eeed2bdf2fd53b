# SPDX-License-Identifier: MIT
# Makes homography_cases.h with OpenCV (Debian's python3-opencv): cv2.findHomography on noisy points, method 0, which
# also minimises the distances in the target plane.   python3 homographies.py > homography_cases.h
import cv2
import numpy as np

random = np.random.default_rng(20)
print("/* SPDX-License-Identifier: MIT */")
print("/* Made by homographies.py with OpenCV %s: pairs of points, and the projection that cv2.findHomography gives. */" % cv2.__version__)
print("static const homography_case homography_cases[] = {")
for case in range(12):
    count = int(random.integers(4, 13))
    source = random.uniform(0, 300, (count, 2))
    if case < 4:
        source[:4] = [[0, 0], [300, 0], [300, 240], [0, 240]]
    truth = np.array([[random.uniform(2, 5), random.uniform(-1, 1), random.uniform(0, 300)],
                      [random.uniform(-1, 1), random.uniform(2, 5), random.uniform(0, 300)],
                      [random.uniform(-8e-4, 8e-4), random.uniform(-8e-4, 8e-4), 1]])
    ones = np.hstack([source, np.ones((count, 1))]) @ truth.T
    target = ones[:, :2] / ones[:, 2:] + random.normal(0, 0 if case % 3 == 0 else 1.5, (count, 2))
    found, _ = cv2.findHomography(source, target, 0)
    pairs = ", ".join("{%.12g, %.12g, %.12g, %.12g}" % (*a, *b) for a, b in zip(source, target))
    print("    {%d, {%s},\n     {%s}}," % (count, pairs, ", ".join("%.15g" % v for v in found.ravel())))
print("};")
