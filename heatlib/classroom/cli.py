"""The two commands of the course: ``heatlib-course`` builds and checks it, ``heatlib-sheets`` prints handouts."""

import argparse
import sys
from pathlib import Path

from heatlib.classroom import course as course_map
from heatlib.classroom.navigation import GENERATED

__all__ = ["course", "sheets"]


def course(arguments=None):
    """Run ``heatlib-course`` and return its exit code: 0 fine, 1 something differs or is wrong, 2 wrong call."""
    parser = _parser()
    options = parser.parse_args(arguments)
    try:
        root = Path(options.root).resolve() if options.root else course_map.find_root()
        return options.run(options, root)
    except (ValueError, OSError) as error:
        print(f"heatlib-course: {error}", file=sys.stderr)
        return 2
    except Exception as error:
        from heatlib.classroom.notebooks import BuildError

        if not isinstance(error, BuildError):
            raise
        print(f"heatlib-course: {error}", file=sys.stderr)
        return 1


def sheets(arguments=None):
    """Run ``heatlib-sheets`` and return its exit code."""
    from heatlib.classroom.sheets import main

    return main(arguments)


def _parser():
    parser = argparse.ArgumentParser(prog="heatlib-course", description="Build and check the lessons of the course.")
    parser.add_argument("--root", help="course folder; without it, the one around the present folder")
    commands = parser.add_subparsers(required=True, metavar="COMMAND")

    build = commands.add_parser("build", help="run lessons and solutions, make exercises, write generated cells")
    build.add_argument("numbers", nargs="*", type=int, metavar="LESSON", help="lesson numbers; without any, all")
    build.add_argument("--check", action="store_true", help="write nothing; exit 1 if a file differs from its source")
    build.add_argument("--static", action="store_true", help="don't run the notebooks; compare or write sources only")
    build.add_argument("--kind", choices=course_map.FOLDERS, action="append", help="only this folder")
    build.set_defaults(run=_build)

    check = commands.add_parser("check", help="measure length, code, words and reading level against the style")
    check.add_argument("numbers", nargs="*", type=int, metavar="LESSON")
    check.set_defaults(run=_check)

    take = commands.add_parser("import", help="make a notebook from a script with # %% cell heads")
    take.add_argument("script", type=Path)
    take.add_argument("notebook", type=Path)
    take.set_defaults(run=_import)

    give = commands.add_parser("export", help="write a notebook as a script with # %% cell heads")
    give.add_argument("notebook", type=Path)
    give.add_argument("script", type=Path)
    give.set_defaults(run=_export)

    new = commands.add_parser("new", help="write the frame of a lesson or solution as a script to fill in")
    new.add_argument("kind", choices=("lesson", "solution"))
    new.add_argument("number", type=int)
    new.add_argument("script", type=Path)
    new.set_defaults(run=_new)

    return parser


def _build(options, root):
    from heatlib.classroom.notebooks import build

    drifted = build(
        root, options.numbers or None, options.kind or course_map.FOLDERS, check=options.check, run=not options.static
    )
    if options.check and drifted:
        print(f"{len(drifted)} files differ; heatlib-course build writes them")
    return 1 if options.check and drifted else 0


def _check(options, root):
    from heatlib.classroom.manuscript import findings, measure
    from heatlib.classroom.notebooks import read

    count = 0
    for number in options.numbers or [row.number for row in course_map.lessons()]:
        path = root / "lessons" / course_map.lesson(number).file
        if not path.exists():
            print(f"lessons/{path.name}: not there")
            count += 1
            continue
        notebook = read(path)
        print(f"lessons/{path.name}: {measure(notebook)}")
        for finding in findings(notebook, number):
            print(f"  {finding}")
            count += 1
    return 1 if count else 0


def _import(options, root):
    from heatlib.classroom.drafts import notebook_from_script
    from heatlib.classroom.notebooks import clean, write

    write(clean(notebook_from_script(options.script.read_text(encoding="utf-8"))), options.notebook)
    print(f"{options.notebook} written; heatlib-course build runs it")
    return 0


def _export(options, root):
    from heatlib.classroom.drafts import script_from_notebook
    from heatlib.classroom.notebooks import read

    if options.script.exists():
        raise ValueError(f"{options.script} exists already; give another name or remove it")
    options.script.write_text(script_from_notebook(read(options.notebook), generated=GENERATED), encoding="utf-8")
    print(f"{options.script} written")
    return 0


def _new(options, root):
    from heatlib.classroom.manuscript import frame

    if options.script.exists():
        raise ValueError(f"{options.script} exists already; give another name or remove it")
    options.script.write_text(frame(options.kind, options.number), encoding="utf-8")
    print(f"{options.script} written; fill it in, then heatlib-course import makes the notebook")
    return 0
