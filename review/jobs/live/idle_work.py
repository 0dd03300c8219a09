"""What is done between balls when there is time: review copies, thorough numbers, at the end the same views for all."""

from review.jobs.live.work_queue import WorkQueue
from review.jobs.live.worker import Order
from review.jobs.measuring.kept_landmarks import load_landmarks
from review.jobs.review_copies import has_copy
from review.library import Library
from review.pose import Effort


class IdleWork:
    """Finds what is left to do of one lesson; ``is_thorough`` whether clips are measured thoroughly too."""

    def __init__(self, library: Library, lesson_id: str, is_thorough: bool) -> None:
        self._library, self._lesson_id, self._is_thorough = library, lesson_id, is_thorough
        self._copied: set[str] = set()
        self._thorough: set[str] = set()
        self._n_alike = 0

    def note_done(self, order: Order) -> None:
        """An order was done, whatever came of it: it is not put in again."""
        if order.is_copy:
            self._copied.add(order.clip_id)
        elif order.clip_id and order.effort is Effort.THOROUGH:
            self._thorough.add(order.clip_id)

    def put_next(self, queue: WorkQueue, is_over: bool) -> None:
        """Put the next piece in: one review copy; then one clip thoroughly; then all swings from the same views.

        One at a time, so that a new ball finds a free process.
        """
        library, lesson_id = self._library, self._lesson_id
        clips = library.clips(lesson_id)
        for clip in clips:
            if clip.id not in self._copied and not has_copy(library, clip):
                queue.add(Order(library.folder, lesson_id, clip.id, Effort.THOROUGH, is_copy=True))
                return
            self._copied.add(clip.id)
        if self._is_thorough:
            hand = library.pupil(library.lesson(lesson_id).pupil_id).handedness
            for clip in clips:
                kept = None if clip.id in self._thorough else load_landmarks(library, clip, hand)
                if kept is not None and kept[1] is Effort.THOROUGH:
                    self._thorough.add(clip.id)
                if clip.id not in self._thorough:
                    queue.add(Order(library.folder, lesson_id, clip.id, Effort.THOROUGH))
                    return
        if is_over and self._n_alike != len(clips):
            self._n_alike = len(clips)
            queue.add(Order(library.folder, lesson_id, "", Effort.THOROUGH))
