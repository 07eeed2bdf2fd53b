# SPDX-License-Identifier: MIT
"""What cameras, lenses and light do to a picture, by chance, on a whole batch at once. Pictures come as linear light and
alpha, and leave as CIELAB D50 in bytes, as the network takes them."""
import math

import torch
import torch.nn.functional as F

TO_XYZ_D50 = torch.tensor(  # linear sRGB to XYZ, adapted to D50 by Bradford (as in the sRGB ICC profile)
    [[0.43607, 0.38515, 0.14307], [0.22249, 0.71687, 0.06061], [0.01392, 0.09708, 0.71410]])
WHITE_D50 = torch.tensor([0.96422, 1.0, 0.82521])
LUMINANCE = (0.2126, 0.7152, 0.0722)


def chance(n, least, most, device, share=1.0, otherwise=0.0):
    value = torch.rand(n, 1, 1, 1, device=device) * (most - least) + least
    if share >= 1:
        return value
    return torch.where(torch.rand(n, 1, 1, 1, device=device) < share, value, torch.full_like(value, otherwise))


def decode(rgba):
    """n x side x side x 4 bytes -> linear light n x 3 x side x side, alpha n x 1 x side x side."""
    x = rgba.permute(0, 3, 1, 2).float() / 255
    return 4 * x[:, :3] ** 2, x[:, 3:]


def blur(x, sigma, reach=4):
    """Gaussian, a sigma for each picture (n x 1 x 1 x 1)."""
    n, c, h, w = x.shape
    at = torch.arange(-reach, reach + 1, device=x.device).float()
    kernel = torch.exp(-0.5 * (at[None] / sigma.reshape(n, 1).clamp(min=0.05)) ** 2)
    kernel = (kernel / kernel.sum(1, keepdim=True)).repeat_interleave(c, 0)
    y = F.pad(x, (reach, reach, reach, reach), mode="replicate").reshape(1, n * c, h + 2 * reach, w + 2 * reach)
    y = F.conv2d(y, kernel[:, None, :, None], groups=n * c)
    y = F.conv2d(y, kernel[:, None, None, :], groups=n * c)
    return y.reshape(n, c, h, w)


def new_grounds(light, alpha, other, share):
    """Some pieces are laid on another picture's bare ground."""
    take = (torch.rand(light.shape[0], 1, 1, 1, device=light.device) < share).float() * (alpha.amax((2, 3), keepdim=True) > 0)
    level = light.mean((1, 2, 3), keepdim=True) / (other.mean((1, 2, 3), keepdim=True) + 1e-3)
    ground = other * level.clamp(0.2, 5) * chance(light.shape[0], 0.6, 1.6, light.device)
    return torch.lerp(light, torch.lerp(ground, light, alpha), take)


def move(light, alpha):
    """Zoom, stretch, turn, flip."""
    n, device = light.shape[0], light.device
    zoom = 1 / (1 + chance(n, 0, 0.8, device, 0.5)).reshape(n)
    stretch = torch.exp(chance(n, -0.25, 0.25, device)).reshape(n)
    turn = chance(n, -0.2, 0.2, device, 0.4).reshape(n)
    flip = torch.where(torch.rand(n, device=device) < 0.5, -1.0, 1.0)
    sx, sy = (zoom * stretch).clamp(max=1), (zoom / stretch).clamp(max=1)
    theta = torch.zeros(n, 2, 3, device=device)
    theta[:, 0, 0], theta[:, 0, 1] = sx * torch.cos(turn) * flip, -sy * torch.sin(turn)
    theta[:, 1, 0], theta[:, 1, 1] = sx * torch.sin(turn) * flip, sy * torch.cos(turn)
    theta[:, 0, 2] = (torch.rand(n, device=device) * 2 - 1) * (1 - sx)
    theta[:, 1, 2] = (torch.rand(n, device=device) * 2 - 1) * (1 - sy)
    both = torch.cat([light, alpha], 1)
    grid = F.affine_grid(theta, list(both.shape), align_corners=False)
    both = F.grid_sample(both, grid, mode="bilinear", padding_mode="border", align_corners=False)
    return both[:, :3], both[:, 3:]


def expose(light):
    """By the mean or by the highlights, then what comes off it by chance; white balance; falling light; vignette."""
    n, _, h, w = light.shape
    device = light.device
    grey = light.mean(1, keepdim=True)
    mean = grey.mean((2, 3), keepdim=True) + 1e-4
    high = torch.quantile(grey[:, :, ::8, ::8].reshape(n, -1), 0.97, dim=1).reshape(n, 1, 1, 1) + 1e-4
    wanted_mean, wanted_high = torch.exp(chance(n, math.log(0.09), math.log(0.42), device)), torch.exp(chance(n, math.log(0.45), math.log(1.5), device))
    gain = torch.where(torch.rand(n, 1, 1, 1, device=device) < 0.5, wanted_mean / mean, wanted_high / high)
    light = light * gain.clamp(0.02, 50)
    warm, green = chance(n, -0.22, 0.22, device, 0.8), chance(n, -0.07, 0.07, device, 0.8)
    light = light * torch.exp(torch.cat([warm, green, -warm], 1))
    y, x = torch.meshgrid(torch.linspace(-1, 1, h, device=device), torch.linspace(-1, 1, w, device=device), indexing="ij")
    slope = x[None, None] * chance(n, -0.5, 0.5, device, 0.3) + y[None, None] * chance(n, -0.5, 0.5, device, 0.3)
    vignette = 1 - chance(n, 0, 0.35, device, 0.4) * (x * x + y * y)[None, None].clamp(max=2)
    return light * torch.exp(slope) * vignette.clamp(min=0.1)


def develop(light):
    """Colour, shoulder, sRGB coding, contrast: what a phone makes of light. Returns coded values 0..1."""
    n, device = light.shape[0], light.device
    weights = torch.tensor(LUMINANCE, device=device).reshape(1, 3, 1, 1)
    grey = (light * weights).sum(1, keepdim=True)
    vivid = chance(n, 0.4, 1.35, device, 0.8, 1.0) * (torch.rand(n, 1, 1, 1, device=device) > 0.03)
    light = (grey + (light - grey) * vivid).clamp(min=0)
    shoulder = chance(n, 0, 0.6, device, 0.6)
    light = light * (1 + shoulder) / (1 + shoulder * light)
    light = light.clamp(0, 1)
    coded = torch.where(light <= 0.0031308, 12.92 * light, 1.055 * light.clamp(min=1e-6) ** (1 / 2.4) - 0.055)
    coded = coded ** torch.exp(chance(n, -0.3, 0.3, device, 0.6))
    bend = chance(n, -0.35, 0.6, device, 0.6)
    return torch.lerp(coded, coded * coded * (3 - 2 * coded), bend).clamp(0, 1)


def grain(coded):
    """Blur, sharpening, noise."""
    n, device = coded.shape[0], coded.device
    soft = blur(coded, chance(n, 0.3, 1.3, device))
    amount = chance(n, -0.8, 1, device, 0.6)  # below 0: sharpened
    coded = torch.lerp(coded, soft, amount)
    fine = torch.randn_like(coded) * chance(n, 0, 0.03, device, 0.5)
    coarse = F.interpolate(torch.randn(n, 3, coded.shape[2] // 2, coded.shape[3] // 2, device=device), scale_factor=2.0) * chance(n, 0, 0.03, device, 0.3)
    return (coded + (fine + coarse) * (1.3 - coded)).clamp(0, 1)


def dct_matrix(device):
    k = torch.arange(8, device=device).float()
    m = torch.cos((2 * k[None] + 1) * k[:, None] * math.pi / 16) * 0.5
    m[0] *= math.sqrt(0.5)
    return m


def packed(coded, share):
    """Coarse steps in 8 x 8 cosines of luma and colour, as in JPEG files (steps that rise with frequency; our own)."""
    n, _, h, w = coded.shape
    device = coded.device
    count = max(1, int(n * share))
    x = coded[:count]
    m = dct_matrix(device)
    to_luma = torch.tensor([[0.299, 0.587, 0.114], [-0.169, -0.331, 0.5], [0.5, -0.419, -0.081]], device=device)
    y = torch.einsum("ij,njhw->nihw", to_luma, x)
    blocks = y.reshape(count, 3, h // 8, 8, w // 8, 8)
    freq = torch.einsum("ai,nchiwj,bj->nchawb", m, blocks, m)
    k = torch.arange(8, device=device).float()
    rise = 1 + 0.6 * (k[:, None] + k[None])
    step = torch.exp(torch.rand(count, 1, device=device) * 2.7 - 5.2)
    step = step * torch.tensor([1.0, 1.6, 1.6], device=device)[None]
    step = step.reshape(count, 3, 1, 1, 1, 1) * rise.reshape(1, 1, 1, 8, 1, 8)
    freq = torch.round(freq / step) * step
    y = torch.einsum("ai,nchawb,bj->nchiwj", m, freq, m).reshape(count, 3, h, w)
    back = torch.einsum("ij,njhw->nihw", torch.linalg.inv(to_luma), y).clamp(0, 1)
    return torch.cat([back, coded[count:]])


def lab_bytes(coded):
    """sRGB-coded 0..1 -> the network's bytes as floats: 2.55 L*, 128 + a*, 128 + b*."""
    light = torch.where(coded <= 0.04045, coded / 12.92, ((coded.clamp(min=0.04045) + 0.055) / 1.055) ** 2.4)
    xyz = torch.einsum("ij,njhw->nihw", TO_XYZ_D50.to(coded.device), light) / WHITE_D50.to(coded.device).reshape(1, 3, 1, 1)
    f = torch.where(xyz > 216 / 24389, xyz.clamp(min=1e-6) ** (1 / 3), (24389 / 27 * xyz + 16) / 116)
    lab = torch.stack([2.55 * (116 * f[:, 1] - 16), 128 + 500 * (f[:, 0] - f[:, 1]), 128 + 200 * (f[:, 1] - f[:, 2])], 1)
    return torch.round(lab).clamp(0, 255)


def grounds_out_of_focus(light, alpha, share):
    n, device = light.shape[0], light.device
    far = 1 - alpha
    sigma = chance(n, 0.5, 3.5, device)
    soft = blur(light * far, sigma, 7) / (blur(far, sigma, 7) + 1e-3)
    take = (torch.rand(n, 1, 1, 1, device=device) < share).float()
    return torch.lerp(light, torch.lerp(soft, light, alpha), take)


def spoil(rgba, other):
    """Bytes of pictures and of bare ones -> the network's bytes and the alpha to be found."""
    light, alpha = decode(rgba)
    light = new_grounds(light, alpha, decode(other)[0], 0.15)
    quarter = light.shape[0] // 4  # blurring is dear
    light = torch.cat([grounds_out_of_focus(light[:quarter], alpha[:quarter], 0.7), light[quarter:]])
    light, alpha = move(light, alpha)
    coded = grain(develop(expose(light)))
    return lab_bytes(packed(coded, 0.3)), alpha


def plain(rgba):
    """For trying out: exposed for the highlights, else as it is."""
    light, alpha = decode(rgba)
    high = torch.quantile(light.mean(1)[:, ::4, ::4].reshape(light.shape[0], -1), 0.97, dim=1).reshape(-1, 1, 1, 1) + 1e-4
    light = (light / high * 0.8).clamp(0, 1)
    coded = torch.where(light <= 0.0031308, 12.92 * light, 1.055 * light.clamp(min=1e-6) ** (1 / 2.4) - 0.055)
    return lab_bytes(coded), alpha
