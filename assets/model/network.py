# SPDX-License-Identifier: MIT
"""The network, and its export as bytes. Every activation is cut to 0 .. 7.998, so that the kernel in C can hold it as a
whole number of 512ths (0 .. 4095); weights become bytes with one scale a channel. See docs/model.md."""
import struct
import zlib

import torch
import torch.nn as nn
import torch.nn.functional as F

STEP = 512  # whole numbers to 1.0
MOST = 4095
SIZES = {"tiny": (8, 16, 24, 32, 40), "small": (16, 24, 48, 72, 120), "standard": (24, 48, 96, 168, 240)}


def cut(x):
    return torch.clamp(x, 0, MOST / STEP)


class Layer(nn.Module):
    """Convolution, then normalisation that is folded into it on export."""

    def __init__(self, wide_in, wide_out, size=1, stride=1, each=False, norm=True):
        super().__init__()
        self.each = each
        self.conv = nn.Conv2d(wide_in, wide_out, size, stride, size // 2, groups=wide_in if each else 1, bias=not norm)
        self.norm = nn.BatchNorm2d(wide_out) if norm else None
        nn.init.kaiming_normal_(self.conv.weight, mode="fan_out" if not each else "fan_in", nonlinearity="relu")

    def forward(self, x):
        x = self.conv(x)
        return x if self.norm is None else self.norm(x)

    def folded(self):
        weight = self.conv.weight.detach().double().cpu()
        if self.norm is None:
            return weight, self.conv.bias.detach().double().cpu()
        n = self.norm
        scale = (n.weight.detach().double() / torch.sqrt(n.running_var.double() + n.eps)).cpu()
        return weight * scale[:, None, None, None], n.bias.detach().double().cpu() - n.running_mean.double().cpu() * scale


class Block(nn.Module):
    """Widen, 5 x 5 on each channel, narrow, and add what came in."""

    def __init__(self, wide):
        super().__init__()
        self.widen, self.each, self.narrow = Layer(wide, 2 * wide), Layer(2 * wide, 2 * wide, 5, each=True), Layer(2 * wide, wide)
        nn.init.constant_(self.narrow.norm.weight, 0.3)

    def forward(self, x):
        return cut(x + self.narrow(cut(self.each(cut(self.widen(x))))))


class Whole(nn.Module):
    """Adds what the mean of the whole picture says."""

    def __init__(self, wide):
        super().__init__()
        self.say = Layer(wide, wide, norm=False)
        nn.init.normal_(self.say.conv.weight, std=0.01)
        nn.init.zeros_(self.say.conv.bias)

    def forward(self, x):
        return cut(x + self.say(x.mean((2, 3), keepdim=True)))


class Network(nn.Module):
    """Three bytes per pixel / 64 (L*, a*, b*) of side x side -> log odds of side x side; side a multiple of 32."""

    def __init__(self, widths=SIZES["standard"]):
        super().__init__()
        a, b, c, d, e = widths
        self.widths = widths
        self.first, self.first2 = Layer(12, a, 3), Layer(a, a, 3)
        self.down1, self.second = Layer(a, b, 3, 2), Layer(b, b, 3)
        self.down2, self.third = Layer(b, c, 3, 2), nn.Sequential(Block(c), Block(c))
        self.down3, self.fourth = Layer(c, d, 3, 2), nn.Sequential(Block(d), Block(d), Whole(d), Block(d))
        self.down4, self.fifth = Layer(d, e, 3, 2), nn.Sequential(Block(e), Whole(e), Block(e))
        self.up4, self.back4 = Layer(e, d), nn.Sequential(Whole(d), Block(d))
        self.up3, self.back3 = Layer(d, c), Block(c)
        self.up2, self.back2 = Layer(c, b), Layer(b, b, 3)
        self.up1, self.back1 = Layer(b, a), Layer(a, a, 3)
        self.head = Layer(a, 4, 3, norm=False)
        nn.init.normal_(self.head.conv.weight, std=0.02)
        nn.init.constant_(self.head.conv.bias, -1.0)
        self.deep = nn.ModuleList([nn.Conv2d(b, 1, 1), nn.Conv2d(c, 1, 1), nn.Conv2d(d, 1, 1)])  # while learning only

    def forward(self, x):
        x1 = cut(self.first2(cut(self.first(F.pixel_unshuffle(x, 2)))))
        x2 = cut(self.second(cut(self.down1(x1))))
        x3 = self.third(cut(self.down2(x2)))
        x4 = self.fourth(cut(self.down3(x3)))
        x5 = self.fifth(cut(self.down4(x4)))
        y4 = self.back4(cut(x4 + F.interpolate(self.up4(x5), scale_factor=2.0)))
        y3 = self.back3(cut(x3 + F.interpolate(self.up3(y4), scale_factor=2.0)))
        y2 = cut(self.back2(cut(x2 + F.interpolate(self.up2(y3), scale_factor=2.0))))
        y1 = cut(self.back1(cut(x1 + F.interpolate(self.up1(y2), scale_factor=2.0))))
        answer = F.pixel_shuffle(self.head(y1), 2)
        if not self.training:
            return answer
        return answer, self.deep[0](y2), self.deep[1](y3), self.deep[2](y4)

    def layers(self):
        """In the order of the file, which is the order of the kernel."""
        found = []

        def walk(part):
            if isinstance(part, Layer):
                found.append(part)
                return
            for child in part.children():
                walk(child)

        for name, part in self.named_children():
            if name != "deep":
                walk(part)
        return found


def as_bytes(layer):
    """Bytes, the scale of each channel as a float of the file, and the bias in units of the sum."""
    weight, bias = layer.folded()
    scale = (weight.abs().amax((1, 2, 3)) / 127).clamp(min=1e-8).float()
    whole = torch.round(weight / scale.double()[:, None, None, None]).clamp(-127, 127).to(torch.int32)
    shift = torch.round((bias * STEP + 0.5) / scale.double()).clamp(-(2 ** 30), 2 ** 30).to(torch.int32)
    return whole, scale, shift


def export(network, path, note=""):
    """`BCGUESS1`, widths, layers, a check sum. A layer: outputs, inputs, size, stride, each (5 x 32 bits), scales (floats),
    biases (32 bits), weights (bytes: output, row, column, input). All little endian."""
    out = bytearray(b"BCGUESS1")
    layers = network.layers()
    out += struct.pack("<5I", *network.widths) + struct.pack("<I", len(layers))
    for layer in layers:
        whole, scale, shift = as_bytes(layer)
        conv = layer.conv
        inputs = 1 if layer.each else conv.in_channels
        out += struct.pack("<5I", conv.out_channels, inputs, conv.kernel_size[0], conv.stride[0], int(layer.each))
        out += struct.pack("<%df" % conv.out_channels, *scale.tolist())
        out += struct.pack("<%di" % conv.out_channels, *shift.tolist())
        out += bytes((whole.permute(0, 2, 3, 1).reshape(-1) & 255).tolist())
    out += struct.pack("<I", zlib.crc32(bytes(out)) & 0xFFFFFFFF)
    with open(path, "wb") as file:
        file.write(out)
    return len(out)


class AsKernel:
    """The kernel's arithmetic, slowly: whole numbers in doubles, which hold them all exactly."""

    def __init__(self, network):
        self.network = network

    def layer(self, layer, x):
        whole, scale, shift = as_bytes(layer)
        conv = layer.conv
        total = F.conv2d(x, whole.double(), None, conv.stride, conv.padding, groups=conv.groups)
        total = total + shift.double()[None, :, None, None]
        return torch.trunc((total.float() * scale[None, :, None, None])).double()

    def cut(self, x):
        return x.clamp(0, MOST)

    def part(self, part, x):
        if isinstance(part, nn.Sequential):
            for each in part:
                x = self.part(each, x)
            return x
        if isinstance(part, Block):
            inner = self.cut(self.layer(part.each, self.cut(self.layer(part.widen, x))))
            return self.cut(x + self.layer(part.narrow, inner))
        if isinstance(part, Whole):
            return self.cut(x + self.layer(part.say, torch.floor(x.mean((2, 3), keepdim=True))))
        return self.cut(self.layer(part, x))

    def up(self, layer, low, skip):
        return self.cut(skip + F.interpolate(self.layer(layer, low), scale_factor=2.0))

    def __call__(self, picture):
        """Bytes 1 x 3 x side x side -> log odds as floats."""
        n = self.network
        x = F.pixel_unshuffle(picture.double() * (STEP // 64), 2)
        x1 = self.part(n.first2, self.part(n.first, x))
        x2 = self.part(n.second, self.part(n.down1, x1))
        x3 = self.part(n.third, self.part(n.down2, x2))
        x4 = self.part(n.fourth, self.part(n.down3, x3))
        x5 = self.part(n.fifth, self.part(n.down4, x4))
        y4 = self.part(n.back4, self.up(n.up4, x5, x4))
        y3 = self.part(n.back3, self.up(n.up3, y4, x3))
        y2 = self.part(n.back2, self.up(n.up2, y3, x2))
        y1 = self.part(n.back1, self.up(n.up1, y2, x1))
        return F.pixel_shuffle(self.layer(n.head, y1), 2) / STEP
