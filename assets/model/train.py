#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Trains the network that gives the cut-out's first guess, on pictures of render/ alone. Needs PyTorch.

    train.py --out FOLDER --minutes 25          on a GPU, with librender.so built by nvcc (see docs/model.md)
    train.py --out FOLDER --check               the whole recipe in little, on a processor: a minute

Pictures are rendered while it learns. Every minute FOLDER gets a checkpoint, from which the same command goes on, and the
averaged weights as bytes. The same seed gives the same pictures; rounding on a GPU differs from run to run."""
import argparse
import ctypes
import json
import math
import os
import threading
import time

import torch
import torch.nn.functional as F

import network
import spoil

HERE = os.path.dirname(os.path.abspath(__file__))
FOR_TRIAL = 50_000_000  # numbers of pictures that are never learned from


class Pictures:
    """Renders pictures number `first` and on into one large tensor; `ready` counts them."""

    def __init__(self, library, first, count, side, device, chunk):
        self.library, self.first, self.count, self.chunk = library, first, count, chunk
        self.side, self.device, self.ready, self.error = side, device, 0, None
        self.all = torch.empty(count, side, side, 4, dtype=torch.uint8, device=device)
        torch.cuda.synchronize() if device != "cpu" else None

    def render(self):
        try:
            draw = self.library.render_on_gpu if self.device != "cpu" else self.library.render_on_processor
            draw.argtypes = [ctypes.c_uint64, ctypes.c_int, ctypes.c_int, ctypes.c_int, ctypes.c_void_p]
            while self.ready < self.count:
                now = min(self.chunk, self.count - self.ready)
                status = draw(self.first + self.ready, now, self.side, max(1, (os.cpu_count() or 2) - 1), self.all[self.ready].data_ptr())
                if status != 0:
                    raise RuntimeError("rendering failed with status %d" % status)
                self.ready += now
        except Exception as error:  # told by the learning thread
            self.error = error

    def begin(self):
        threading.Thread(target=self.render, daemon=True).start()
        return self

    def batch(self, size):
        """Any pictures, and as many bare ones (their number leaves 5 when divided by 6)."""
        any_of = torch.randint(0, self.ready, (size,), device=self.device)
        bare = torch.randint(0, self.ready // 6, (size,), device=self.device) * 6 + (5 - self.first % 6) % 6
        return self.all[any_of], self.all[bare]


# ---- what is wanted ----

def losses(answer, alpha):
    """Of every pixel, more along edges and in thin things; and of the overlap, which small pieces need."""
    most, least = F.max_pool2d(alpha, 5, 1, 2), -F.max_pool2d(-alpha, 5, 1, 2)
    weight = 1 + 2 * (most - least)
    each = (weight * F.binary_cross_entropy_with_logits(answer, alpha, reduction="none")).mean()
    p = torch.sigmoid(answer)
    both, either = (p * alpha).sum((1, 2, 3)), (p + alpha - p * alpha).sum((1, 2, 3))
    there = (alpha.sum((1, 2, 3)) > 8).float()
    overlap = ((1 - (both + 1) / (either + 1)) * there).sum() / there.sum().clamp(min=1)
    return each, overlap


def loss_of(answers, alpha):
    answers = [a.float() for a in answers]
    each, overlap = losses(answers[0], alpha)
    total = each + 0.5 * overlap
    for deep in answers[1:]:
        total = total + 0.2 * F.binary_cross_entropy_with_logits(deep, F.adaptive_avg_pool2d(alpha, deep.shape[-1]))
    return total, each, overlap


@torch.no_grad()
def overlaps(net, pictures, batch=128):
    """Overlap (at one half) of every picture that has a piece, and the share of bare ones where something was seen."""
    net.eval()
    found, bare_wrong, bare = [], 0, 0
    for at in range(0, pictures.ready, batch):
        x, alpha = spoil.plain(pictures.all[at:at + batch])
        with torch.autocast("cuda" if x.is_cuda else "cpu", torch.bfloat16, enabled=x.is_cuda):
            answer = net(x / 64).float() > 0
        truth = alpha > 0.5
        both, either = (answer & truth).sum((1, 2, 3)).float(), (answer | truth).sum((1, 2, 3)).float()
        there = truth.sum((1, 2, 3)) > 0
        found += (both[there] / either[there]).tolist()
        bare += int((~there).sum())
        bare_wrong += int((either[~there] > 0.01 * x.shape[2] * x.shape[3]).sum())
    return found, bare_wrong / max(bare, 1)


# ---- averaged weights ----

class Averaged:
    def __init__(self, net):
        self.state = {k: v.detach().clone().float() for k, v in net.state_dict().items() if v.is_floating_point()}
        self.names = list(self.state)

    @torch.no_grad()
    def take(self, net, decay):
        now = net.state_dict()
        ours, theirs = [self.state[k] for k in self.names], [now[k].float() for k in self.names]
        torch._foreach_mul_(ours, decay)
        torch._foreach_add_(ours, theirs, alpha=1 - decay)

    def into(self, net):
        net.load_state_dict({**net.state_dict(), **self.state})
        return net


def settle_norms(net, pictures, batch, rounds):
    """The averaged weights' own means and spreads, over many batches."""
    net.train()
    norms = [m for m in net.modules() if isinstance(m, torch.nn.BatchNorm2d)]
    for m in norms:
        m.reset_running_stats()
        m.momentum = None
    with torch.no_grad():
        for _ in range(rounds):
            x, _ = spoil.spoil(*pictures.batch(batch))
            with torch.autocast("cuda" if x.is_cuda else "cpu", torch.bfloat16, enabled=x.is_cuda):
                net((x / 64).contiguous(memory_format=torch.channels_last))
    for m in norms:
        m.momentum = 0.1
    return net.eval()


# ---- learning ----

def keep(path, what):
    torch.save(what, path + ".part")
    os.replace(path + ".part", path)


def decay_of(step):
    return min(0.9992, (1 + step) / (20 + step))


class Run:
    def __init__(self, options):
        self.o = options
        self.device = "cuda" if torch.cuda.is_available() and not options.check else "cpu"
        torch.manual_seed(options.seed)
        torch.backends.cudnn.benchmark = True
        torch.backends.cuda.matmul.allow_tf32 = torch.backends.cudnn.allow_tf32 = True
        os.makedirs(options.out, exist_ok=True)
        self.log_file = open(os.path.join(options.out, "log.jsonl"), "a", buffering=1)
        library = ctypes.CDLL(options.renderer)
        self.net = network.Network(network.SIZES[options.size]).to(self.device).to(memory_format=torch.channels_last)
        self.averaged = Averaged(self.net)
        self.copy = network.Network(network.SIZES[options.size]).to(self.device).to(memory_format=torch.channels_last)
        weights = [p for p in self.net.parameters() if p.dim() > 1]
        others = [p for p in self.net.parameters() if p.dim() <= 1]
        self.optimiser = torch.optim.AdamW([{"params": weights, "weight_decay": 0.02}, {"params": others, "weight_decay": 0}], lr=3e-3, betas=(0.9, 0.98))
        self.step, self.progress, self.first_progress = 0, 0.0, 0.0
        self.checkpoint = os.path.join(options.out, "checkpoint.pt")
        self.resume()
        self.trial = Pictures(library, FOR_TRIAL, options.trial, options.side, self.device, options.chunk)
        self.trial.render()
        if self.trial.error:
            raise self.trial.error
        self.pictures = Pictures(library, options.seed * 1_000_000 // 6 * 6, options.pictures, options.side, self.device, options.chunk).begin()

    def log(self, **what):
        what["at"] = round(time.time() - self.o.began, 1)
        line = json.dumps(what)
        self.log_file.write(line + "\n")
        print(line, flush=True)

    def resume(self):
        if not os.path.exists(self.checkpoint):
            return
        state = torch.load(self.checkpoint, map_location=self.device)
        self.net.load_state_dict(state["net"])
        self.averaged.state = {k: v.to(self.device) for k, v in state["averaged"].items()}
        self.optimiser.load_state_dict(state["optimiser"])
        self.step, self.first_progress = state["step"], state["progress"]
        self.log(resumed=self.step)

    def save(self, last=False):
        keep(self.checkpoint, {"net": self.net.state_dict(), "averaged": self.averaged.state, "optimiser": self.optimiser.state_dict(), "step": self.step, "progress": self.progress})
        copy = settle_norms(self.averaged.into(self.copy), self.pictures, self.o.batch, 100 if last else 20)
        found, bare = overlaps(copy, self.trial)
        size = network.export(copy, os.path.join(self.o.out, "guess.bin"))
        if last:
            keep(os.path.join(self.o.out, "averaged.pt"), {k: v.half() if v.is_floating_point() else v for k, v in copy.state_dict().items()})
        self.log(step=self.step, trial=sum(found) / len(found), under_08=sum(f < 0.8 for f in found) / len(found), bare_seen=bare, bytes=size)

    def rate(self):
        """Warm up, then along a cosine to a thousandth, by the time that is left."""
        warm = min(1.0, (self.step + 1) / self.o.warm)
        return 3e-3 * warm * (0.001 + 0.999 * 0.5 * (1 + math.cos(math.pi * min(self.progress, 1.0))))

    def one_step(self, model):
        for group in self.optimiser.param_groups:
            group["lr"] = self.rate()
        with torch.no_grad():
            x, alpha = spoil.spoil(*self.pictures.batch(self.o.batch))
            x = (x / 64).contiguous(memory_format=torch.channels_last)
        with torch.autocast("cuda" if x.is_cuda else "cpu", torch.bfloat16, enabled=x.is_cuda):
            answers = model(x)
        total, each, overlap = loss_of(answers, alpha)
        self.optimiser.zero_grad(set_to_none=True)
        total.backward()
        torch.nn.utils.clip_grad_norm_(self.net.parameters(), 1.0)
        self.optimiser.step()
        self.averaged.take(self.net, decay_of(self.step))
        self.step += 1
        return total.detach(), each.detach(), overlap.detach()

    def learn(self):
        o = self.o
        while self.pictures.ready < min(o.least, o.pictures) and not self.pictures.error:
            time.sleep(0.2)
        if self.pictures.error:
            raise self.pictures.error
        self.log(rendered=self.pictures.ready)
        model = torch.compile(self.net) if o.compile else self.net
        begin = last_save = time.time()
        until = o.began + o.minutes * 60
        first = self.step
        sums = torch.zeros(3, device=self.device)
        while True:
            now = time.time()
            share = (self.step - first) / o.steps if o.steps else (now - begin) / max(until - begin, 1)
            self.progress = self.first_progress + (1 - self.first_progress) * share
            if share >= 1:
                break
            if self.pictures.error:
                raise self.pictures.error
            self.net.train()
            try:
                sums += torch.stack(self.one_step(model))
            except Exception as error:  # a compiler that cannot do it must not end the run
                if model is self.net:
                    raise
                self.log(without_compiler=str(error)[:300])
                model = self.net
            if self.step % o.every == 0:
                mean = (sums / o.every).tolist()
                sums.zero_()
                self.log(step=self.step, progress=round(self.progress, 4), loss=mean[0], each=mean[1], overlap=1 - mean[2], rendered=self.pictures.ready, per_second=round((self.step - first) * o.batch / (time.time() - begin)))
            if now - last_save > o.save_every:
                self.save()
                last_save = time.time()
        self.save(last=True)
        self.log(done=self.step)


def check(options):
    """A few steps, again from the checkpoint, and the bytes against the floats."""
    options.side, options.batch, options.pictures, options.least, options.trial, options.chunk = 64, 8, 48, 48, 24, 24
    options.steps, options.every, options.size, options.warm = 6, 2, "tiny", 2
    Run(options).learn()
    again = Run(options)
    assert again.step == 6, "the checkpoint was not taken up"
    again.learn()
    assert again.step == 12
    x, _ = spoil.plain(again.trial.all[:1])
    with torch.no_grad():
        floats, whole = again.copy(x / 64), network.AsKernel(again.copy)(x)
    apart = float((floats - whole).abs().max())
    assert apart < 0.35, "bytes and floats are %g apart" % apart
    print("the recipe works; bytes and floats are at most %.3f apart in log odds" % apart)


def main():
    words = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    words.add_argument("--out", required=True)
    words.add_argument("--renderer", default=os.path.join(HERE, "librender.so"))
    words.add_argument("--minutes", type=float, default=25, help="from the program's start to its end")
    words.add_argument("--pictures", type=int, default=96000)
    words.add_argument("--least", type=int, default=12288, help="pictures before learning begins")
    words.add_argument("--size", choices=sorted(network.SIZES), default="standard")
    words.add_argument("--side", type=int, default=256)
    words.add_argument("--batch", type=int, default=256)
    words.add_argument("--seed", type=int, default=1)
    words.add_argument("--trial", type=int, default=1152)
    words.add_argument("--chunk", type=int, default=256)
    words.add_argument("--steps", type=int, default=0, help="instead of the time")
    words.add_argument("--every", type=int, default=100)
    words.add_argument("--warm", type=int, default=300)
    words.add_argument("--save-every", type=float, default=75)
    words.add_argument("--compile", action="store_true")
    words.add_argument("--check", action="store_true")
    options = words.parse_args()
    options.began = time.time()
    check(options) if options.check else Run(options).learn()


if __name__ == "__main__":
    main()
