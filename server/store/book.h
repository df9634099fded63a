/* The book: one worker's way to the bakery's data. It hides the connection from api/. */
#ifndef MORROWLOAF_STORE_BOOK_H
#define MORROWLOAF_STORE_BOOK_H

#include <stdbool.h>
#include <stdint.h>

struct arena;
struct book;
struct fails;
struct tx;

/* conninfo: libpq connection string, copied. Connects when first used. NULL when memory is short.
 * Caller closes. A book belongs to one thread. */
struct book *book_open(const char *conninfo, int deadline_ms);
void book_close(struct book *book);

/* Work on the book: false (with a fault on the list) undoes it. May be called again after a
 * conflict with another transaction, so whatever it leaves in memory must be set anew. */
typedef bool (*book_work)(struct tx *tx, void *context);

/* All work reads one moment of the book and changes nothing. */
bool book_read(struct book *book, struct arena *arena, struct fails *fails, book_work work,
               void *context);
/* All of work is stored when this returns true, nothing when it returns false; see tx_run() for the
 * one exception, an unanswered commit. */
bool book_write(struct book *book, struct arena *arena, struct fails *fails, book_work work,
                void *context);

/* Opens the page of one bakery; the first thing that work does. */
bool book_enter(struct tx *tx, int64_t bakery_id);
/* Whose hand writes from now on. name lives at least as long as the transaction. */
void book_signed_by(struct tx *tx, const char *name);

#endif
