/* Entity tags: made, listed, read back. */
#include "http/etag.h"

#include <criterion/criterion.h>

#include <stdint.h>

TestSuite(etag, .timeout = 20);

Test(etag, is_revision_and_hash_of_the_body)
{
    char tag[ETAG_SIZE], other[ETAG_SIZE];
    /* BLAKE2b-256 of "" begins with 0e5751c026e543b2. */
    etag_print(tag, 17, "", 0);
    cr_expect_str_eq(tag, "\"17.0e5751c026e543b2\"");
    etag_print(other, 17, "a", 1);
    cr_expect_str_neq(tag, other);
    etag_print(tag, INT64_MAX, "", 0);
    cr_expect_str_eq(tag, "\"9223372036854775807.0e5751c026e543b2\"");
    cr_expect_eq(etag_revision(tag), INT64_MAX);
}

Test(etag, lists)
{
    static const char tag[] = "\"3.0e5751c026e543b2\"";
    cr_expect(etag_listed("*", tag));
    cr_expect(etag_listed("\"3.0e5751c026e543b2\"", tag));
    cr_expect(etag_listed("W/\"3.0e5751c026e543b2\"", tag));
    cr_expect(etag_listed("\"a\", W/\"b,c\",\"3.0e5751c026e543b2\"", tag));
    cr_expect(etag_listed(" , \"3.0e5751c026e543b2\" ", tag));
    cr_expect_not(etag_listed("", tag));
    cr_expect_not(etag_listed("3.0e5751c026e543b2", tag));
    cr_expect_not(etag_listed("\"3.0e5751c026e543b", tag));
    cr_expect_not(etag_listed("\"3.0e5751c026e543b\"", tag));
    cr_expect_not(etag_listed("\"33.0e5751c026e543b2\"", tag));
    cr_expect_not(etag_listed("\"a\", *", tag));
}

Test(etag, revisions_that_a_write_may_be_built_on)
{
    cr_expect_eq(etag_revision("*"), 0);
    cr_expect_eq(etag_revision("\"12.0e5751c026e543b2\""), 12);
    cr_expect_eq(etag_revision("W/\"12.0e5751c026e543b2\""), 12);
    cr_expect_eq(etag_revision("\"x\", \"12.0e5751c026e543b2\", \"11.0e5751c026e543b2\""), 12);
}

Test(etag, what_we_never_gave_out)
{
    static const char *const tags[] = {"",
                                       "\"\"",
                                       "\"12\"",
                                       "12.0e5751c026e543b2",
                                       "\"0.0e5751c026e543b2\"",
                                       "\"-1.0e5751c026e543b2\"",
                                       "\"+1.0e5751c026e543b2\"",
                                       "\"1e2.0e5751c026e543b2\"",
                                       "\".0e5751c026e543b2\"",
                                       "\"12.0E5751C026E543B2\"",
                                       "\"12.0e5751c026e543b\"",
                                       "\"12.0e5751c026e543b22\"",
                                       "\"9223372036854775808.0e5751c026e543b2\"",
                                       "\"12.0e5751c026e543b2",
                                       "\"**\""};
    for (size_t i = 0; i < sizeof tags / sizeof tags[0]; i++)
        cr_expect_eq(etag_revision(tags[i]), -1, "%s", tags[i]);
}
