/* A connection with the program's statements and constraints, working as the role that owns
 * nothing. */
#include "store/book.h"

#include "db/db.h"
#include "store/kept.h"
#include "store/statements.h"

#include <stdlib.h>
#include <string.h>

struct book {
    struct db_settings settings;
    char *conninfo;
    struct db *db;
    struct kept kept;
};

struct book *book_open(const char *conninfo, int deadline_ms)
{
    struct book *book = calloc(1, sizeof *book);
    if (book == NULL) return NULL;
    book->conninfo = strdup(conninfo);
    book->settings = (struct db_settings){.conninfo = book->conninfo,
                                          .role = "morrowloaf_app",
                                          .deadline_ms = deadline_ms,
                                          .keeper = &book->kept,
                                          .statements = store_statements,
                                          .constraints = store_constraints};
    if (book->conninfo != NULL) book->db = db_open(&book->settings);
    if (book->db == NULL) {
        book_close(book);
        return NULL;
    }
    return book;
}

void book_close(struct book *book)
{
    if (book == NULL) return;
    if (book->db != NULL) db_close(book->db);
    kept_forget(&book->kept);
    free(book->conninfo);
    free(book);
}

bool book_read(struct book *book, struct arena *arena, struct fails *fails, book_work work,
               void *context)
{
    return tx_run(book->db, TX_READ, arena, fails, work, context);
}

bool book_write(struct book *book, struct arena *arena, struct fails *fails, book_work work,
                void *context)
{
    return tx_run(book->db, TX_WRITE, arena, fails, work, context);
}

bool book_enter(struct tx *tx, int64_t bakery_id)
{
    return tx_enter_bakery(tx, bakery_id, "");
}

void book_signed_by(struct tx *tx, const char *name)
{
    tx->actor = name;
}
