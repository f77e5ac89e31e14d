"""The kernel that waits: a page that is opened takes it, and everybody else gets what they asked for."""

import asyncio
from tempfile import TemporaryDirectory

import pytest

from histkit.shell.kernels import WARM, ReadyKernels


def run(steps, **how):
    """Run `steps(manager)` with kernels of their own, which are ended."""

    async def all_of_it():
        with TemporaryDirectory() as folder:  # as the server gives one: else they write how to reach them beside the README
            manager = ReadyKernels(pause=0.05, connection_dir=folder, **how)
            try:
                return await steps(manager)
            finally:
                await manager.shutdown_all(now=True)

    return asyncio.run(asyncio.wait_for(all_of_it(), 240))


async def until_one_waits(manager):
    for _ in range(600):
        if manager.waiting:
            return manager.waiting
        await asyncio.sleep(0.1)
    pytest.fail("no kernel waits after a minute")


def test_a_page_takes_the_kernel_that_waits_and_the_next_one_is_made(tmp_path):
    async def steps(manager):
        first = await until_one_waits(manager)
        assert [model["id"] for model in manager.list_kernels()] == []  # nobody uses it
        taken = await manager.start_kernel(kernel_name="python3", path="")
        assert [model["id"] for model in manager.list_kernels()] == [taken]
        second = await until_one_waits(manager)
        return first, taken, second

    first, taken, second = run(steps, root_dir=str(tmp_path))
    assert first == taken and second != first


def test_a_page_that_comes_early_waits_for_the_one_that_is_being_made(tmp_path):
    async def steps(manager):
        await asyncio.sleep(0)  # it is asked for at once
        await asyncio.sleep(0)
        taken = await manager.start_kernel(path="")
        return taken in manager, len(manager.list_kernel_ids())

    assert run(steps, root_dir=str(tmp_path)) == (True, 1)


def test_another_folder_gets_a_kernel_that_works_there(tmp_path):
    (tmp_path / "deeper").mkdir()

    async def steps(manager):
        waiting = await until_one_waits(manager)
        other = await manager.start_kernel(path="deeper")
        assert other != waiting and manager.waiting == waiting
        return manager.get_kernel(other)._launch_args["cwd"]

    assert run(steps, root_dir=str(tmp_path)) == str(tmp_path / "deeper")


def test_where_the_waiting_kernel_died_a_page_gets_another(tmp_path):
    async def steps(manager):
        waiting = await until_one_waits(manager)
        await manager.shutdown_kernel(waiting, now=True)
        return waiting, await manager.start_kernel(path="")

    waiting, taken = run(steps, root_dir=str(tmp_path))
    assert taken != waiting


def test_a_waiting_kernel_has_the_panels_loaded_and_no_name_of_its_own_left_behind(tmp_path):
    async def steps(manager):
        taken = await manager.start_kernel(path="") if await until_one_waits(manager) else ""
        client = manager.get_kernel(taken).client()
        client.start_channels()
        said = []
        try:
            await client.wait_for_ready(timeout=60)
            code = "import sys; print('histkit.panels.reading' in sys.modules, [n for n in globals() if n in ('_', 'panels', 'histkit')])"
            await client.execute_interactive(code, output_hook=lambda message: said.append(message["content"].get("text", "")), timeout=60)
        finally:
            client.stop_channels()
        return "".join(said)

    assert run(steps, root_dir=str(tmp_path)).strip() == "True ['_']"
    assert "import" in WARM
