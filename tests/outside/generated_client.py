#!/usr/bin/env python3
"""Generates a client from the API document, compiles it strictly and posts a ticket with it.

The generator (openapi-typescript), its small runtime (openapi-fetch) and the compiler are general programs from the registry of
Node's packages. Where Node or the registry is not to be had, this says so and ends well.

    python3 tests/outside/generated_client.py
"""

import os
import shutil
import subprocess
import sys

# No compiled files beside the sources.
sys.dont_write_bytecode = True

from demonstration import ROOT, TARGET, service, skip

PLACE = TARGET / "generated-client"
PACKAGES = ["openapi-typescript@7", "openapi-fetch@0.14", "typescript@5"]
STRICT = "--strict --noUncheckedIndexedAccess --target es2022 --module es2022 --moduleResolution bundler".split()


def programs():
    """The generator and the compiler; installed into the target directory on first use."""
    for name in ["node", "npm"]:
        if shutil.which(name) is None:
            skip(f"there is no {name} here")
    PLACE.mkdir(parents=True, exist_ok=True)
    generator, compiler = (PLACE / "node_modules" / ".bin" / name for name in ["openapi-typescript", "tsc"])
    if not (generator.exists() and compiler.exists()):
        install = ["npm", "install", "--silent", "--no-audit", "--no-fund", *PACKAGES]
        (PLACE / "package.json").write_text('{"private": true, "type": "module"}\n')
        try:
            done = subprocess.run(install, cwd=PLACE, timeout=180, capture_output=True)
        except subprocess.TimeoutExpired:
            skip("the registry of Node's packages does not answer in time")
        if done.returncode != 0 or not compiler.exists():
            skip("the generator cannot be installed")
    return generator, compiler


def main():
    generator, compiler = programs()
    document = ROOT / "openapi" / "v1.json"
    subprocess.run([generator, document, "-o", PLACE / "schema.d.ts"], check=True, stdout=subprocess.DEVNULL)
    shutil.copy(ROOT / "tests" / "outside" / "post_ticket.ts", PLACE)
    subprocess.run([compiler, *STRICT, "post_ticket.ts"], cwd=PLACE, check=True)
    running, address, tokens = service()
    try:
        environment = dict(os.environ) | {"SKIDWAY_TOKEN": tokens["manager"]}
        sys.exit(subprocess.run(["node", "post_ticket.js", address], cwd=PLACE, env=environment).returncode)
    finally:
        running.terminate()
        running.wait()


if __name__ == "__main__":
    main()
