"""What answers are worth beside the truth: a line per page, tables of many, paired differences of two programs."""
import json
import math

import numpy as np

LEAST = 0.005  # probability counted for a true place that is not listed
BANDS = [(0.05, 0.3), (0.3, 0.5), (0.5, 0.7), (0.7, 0.9), (0.9, 0.97), (0.97, 1.01)]


def stated_sides(targets):
    """[(head, side), probability] in the order of the ranking; surfaces of one side add up."""
    total = {}
    for t in targets:
        key = (str(t["head"]), t["side"])
        total[key] = total.get(key, 0) + t["probability"]
    return [(key, min(1.0, p)) for key, p in total.items()]


def places_shared(ranking, truths, count):
    """Per truth the part of its tie among the first ones, the other truths' places left out."""
    out = []
    for truth in truths:
        alike = {tuple(a) for a in truth["alike"]}
        others = {tuple(a) for t in truths if t is not truth for a in t["alike"]} - alike
        left = [key for key in ranking if key not in others][:count]
        out.append(sum(key in alike for key in left) / len(alike))
    return out


def within_two_sigmas(truth, answer):
    """Of the residue behind the first target on the true side; None where there is none."""
    for target in answer["targets"]:
        if [str(target["head"]), target["side"]] != truth["side"]:
            continue
        drawn = [s["residue"] for s in answer["streaks"] if s["id"] in target["streaks"] and s["residue"]]
        drawn = [r for r in drawn if r["carriage"] == truth["carriage"]]
        if drawn:
            r = max(drawn, key=lambda r: r["width_times_loss_mm"])
            return abs(r["x_drum_mm"] - truth["x_drum_mm"]) <= 2 * r["x_drum_sigma_mm"]
        return None
    return None


def judge(truths, answer, status, named_by_script):
    """One page's line: plain values only."""
    answer = answer or {"targets": [], "streaks": [], "registration": [], "answer": {"kind": "none"}, "quality": []}
    stated = stated_sides(answer["targets"])
    ranking = [key for key, _ in stated]
    sides = {tuple(t["side"]) for t in truths}
    line = {"status": status, "kind": answer["answer"]["kind"], "truths": [],
            "refused": answer["answer"]["kind"] in ("none", "could_not_look"),
            "stated": [{"side": list(key), "p": round(p, 5), "right": key in sides} for key, p in stated],
            "mirrored": any(r.get("face_mirrored") for r in answer["registration"]),
            "turned": any(r.get("turn_deg") for r in answer["registration"]),
            "issues": sorted({i for q in answer["quality"] for i in q.get("issues", [])}),
            "script": len(named_by_script)}
    one, two = places_shared(ranking, truths, 1), places_shared(ranking, truths, 2)
    script_one, script_two = places_shared(named_by_script, truths, 1), places_shared(named_by_script, truths, 2)
    traces = [key for key, _ in stated_sides(answer.get("traces") or [])]
    for n, truth in enumerate(truths):
        own = tuple(truth["side"])
        p = dict(stated).get(own, 0.0)
        line["truths"].append({
            "seen": truth["seen"], "best": 1 / len(truth["alike"]), "first": one[n], "two": two[n], "p": round(p, 5),
            "surprise": -math.log(max(p, LEAST)), "missed": not any(list(key) in truth["alike"] for key in ranking),
            "traced": own in traces, "within": within_two_sigmas(truth, answer), "script_first": script_one[n],
            "script_two": script_two[n]})
    return line


def wrong(line):
    """What somebody would complain about, in words."""
    out = ["refused"] if line["refused"] else []
    out += ["mirrored"] if line["mirrored"] else ["turned"] if line["turned"] else []
    for truth in line["truths"]:
        if truth["seen"] and truth["first"] < truth["best"]:
            out.append("missed" if truth["missed"] else "not first")
    sure = [s for s in line["stated"] if s["p"] > 0.9 and not s["right"]]
    out += [f"sure of {':'.join(s['side'])}" for s in sure]
    if not line["truths"] and any(s["p"] > 0.5 for s in line["stated"]) and not sure:
        out.append("false target")
    return out


def sums(lines):
    seen = [t for line in lines for t in line["truths"] if t["seen"]]
    total = lambda key: sum(t[key] for t in seen)
    clean = [line for line in lines if not line["truths"]]
    over = lambda p: [s for line in lines for s in line["stated"] if s["p"] > p]
    known = [t["within"] for t in seen if t["within"] is not None]
    return {"pages": len(lines), "targets": len(seen), "unseen": sum(len(line["truths"]) for line in lines) - len(seen),
            "best": total("best"), "first": total("first"), "two": total("two"), "script first": total("script_first"),
            "script two": total("script_two"), "over 0.9": len(over(0.9)), "wrong": sum(not s["right"] for s in over(0.9)),
            "over 0.97": len(over(0.97)), "wrong 0.97": sum(not s["right"] for s in over(0.97)), "clean": len(clean),
            "false": sum(any(s["p"] > 0.5 for s in line["stated"]) for line in clean),
            "script false": sum(line["script"] > 0 for line in clean),
            "surprise": total("surprise") / max(1, len(seen)), "within": sum(known), "placed": len(known),
            "mirrored": sum(line["mirrored"] for line in lines), "turned": sum(line["turned"] for line in lines),
            "missed": sum(t["missed"] for t in seen), "refused": sum(line["refused"] for line in lines),
            "traced": sum(t["traced"] for line in lines for t in line["truths"])}


HEAD = ("world", "pages", "targets", "best", "first", "script", "two", "script", ">0.9 wrong", ">0.97 wrong", "clean >0.5",
        "script", "-ln P", "2 sigma", "mirr/turn", "missed", "refused")


def row(name, lines):
    s = sums(lines)
    of = lambda a, b: f"{a} of {b}"
    return (name, str(s["pages"]), str(s["targets"]) + (f"+{s['unseen']}" if s["unseen"] else ""), f"{s['best']:.1f}",
            f"{s['first']:.1f}", f"{s['script first']:.1f}", f"{s['two']:.1f}", f"{s['script two']:.1f}",
            of(s["wrong"], s["over 0.9"]), of(s["wrong 0.97"], s["over 0.97"]), of(s["false"], s["clean"]),
            of(s["script false"], s["clean"]), f"{s['surprise']:.2f}",
            f"{100 * s['within'] / s['placed']:.0f} %" if s["placed"] else "-", f"{s['mirrored']}/{s['turned']}",
            str(s["missed"]), str(s["refused"]))


def table(lines, worlds):
    rows = [HEAD] + [row(w, [r for r in lines if r["world"] == w]) for w in worlds]
    if len(worlds) > 1:
        rows.append(row("sum", lines))
    out = ["| " + " | ".join(r) + " |" for r in rows]
    out.insert(1, "| " + " | ".join("---" for _ in HEAD) + " |")
    traced = sums(lines)["traced"]
    return "\n".join(out) + (f"\nlisted as traces: {traced}" if traced else "")


def calibration(lines):
    out = ["| stated | sides | stated on average | right |", "| --- | --- | --- | --- |"]
    every = [s for line in lines for s in line["stated"]]
    for low, high in BANDS:
        some = [s for s in every if low < s["p"] <= high]
        if some:
            out.append(f"| {low} to {min(high, 1)} | {len(some)} | {np.mean([s['p'] for s in some]):.3f} | "
                       f"{np.mean([s['right'] for s in some]):.3f} |")
    return "\n".join(out)


def read(path):
    with open(path) as file:
        return [json.loads(text) for text in file if text.strip()]


def page_values(line):
    s = sums([line])
    return {"first": s["first"], "two": s["two"], "-ln P": sum(t["surprise"] for t in line["truths"] if t["seen"]),
            "wrong above 0.9": s["wrong"], "wrong above 0.97": s["wrong 0.97"], "clean above 0.5": s["false"],
            "missed": s["missed"], "refused": s["refused"], "mirrored or turned": s["mirrored"] + s["turned"]}


def compare(one, other):
    """Sums over the pages that both saw; second minus first, with the standard error of the paired sum."""
    key = lambda r: (r["seed"], r["case"], r["world"], r["strength"], r["page"])
    first, second = {key(r): r for r in one}, {key(r): r for r in other}
    out = ["| world | pages | " + " | ".join(page_values(one[0])) + " |"]
    out.append("| --- | --- | " + " | ".join("---" for _ in page_values(one[0])) + " |")
    both = [k for k in first if k in second]
    worlds = list(dict.fromkeys(k[2] for k in both))
    for world in worlds + (["sum"] if len(worlds) > 1 else []):
        pairs = [(page_values(first[k]), page_values(second[k])) for k in both if world in (k[2], "sum")]
        cells = []
        for name in pairs[0][0]:
            a, b = (np.array([p[i][name] for p in pairs], float) for i in (0, 1))
            error = math.sqrt(len(pairs)) * np.std(b - a, ddof=1) if len(pairs) > 1 else float("nan")
            cells.append(f"{a.sum():.1f} {b.sum() - a.sum():+.1f} ± {error:.1f}")
        out.append(f"| {world} | {len(pairs)} | " + " | ".join(cells) + " |")
    left = len(first) + len(second) - 2 * len(both)
    return "\n".join(out) + (f"\n{left} pages are in one of the two only" if left else "")
