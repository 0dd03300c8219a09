"""What a camera taught, kept over lessons and without its pupils."""

from library_samples import clip, fill, lesson, pupil

from review.library import Library


def test_the_latest_thirty_in_order_and_each_clip_once(tmp_path):
    with Library.open(tmp_path) as library:
        fill(library)
        library.add_clip("l1", clip("c1"))
        for i in range(40):
            library._execute("INSERT INTO seen_and_heard (camera, heard_late_s, within_s) VALUES ('a', ?, 0.01)", (i,))
        library.note_seen_and_heard(clip("c1").id, "a", 0.1, 0.008)
        library.note_seen_and_heard(clip("c1").id, "a", 0.2, 0.004)
        assert library.seen_and_heard("a") == (*((float(i), 0.01) for i in range(11, 40)), (0.2, 0.004))
        assert library.seen_and_heard("another") == ()


def test_forgetting_a_pupil_leaves_the_numbers_without_a_trace(tmp_path):
    with Library.open(tmp_path) as library:
        fill(library)
        owner = "a-clip-of-a-pupil"
        library.add_clip("l1", clip(owner, camera="a"))
        library.note_seen_and_heard(owner, "a", 0.1, 0.008)
        library.add_clip("l1", clip("c2", camera="the pupil's own phone"))
        library.note_seen_and_heard("c2", "the pupil's own phone", 0.2, 0.008)
        library.add_pupil(pupil("p2", "Another"))
        library.add_lesson(lesson("l2", "p2"))
        library.add_clip("l2", clip("c3", camera="a"))
        library.forget_pupil("p1")
        assert library.seen_and_heard("a") == ((0.1, 0.008),)
        assert library._execute("SELECT clip_id FROM seen_and_heard").fetchall()[0][0] is None
    content = (tmp_path / "library.db").read_bytes()
    assert owner.encode() not in content
    assert b"own phone" not in content
