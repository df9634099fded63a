/* Codes: the accepted forms, and all that is close to them. */
#include "base/code.h"

#include <criterion/criterion.h>

#include <string.h>

TestSuite(code, .timeout = 20);

Test(code, accepts_codes)
{
    cr_assert(code_valid("a"));
    cr_assert(code_valid("0"));
    cr_assert(code_valid("rye-sourdough-80"));
    cr_assert(code_valid("a-"));
    cr_assert(code_valid("9-grain--loaf"));
}

Test(code, refuses_everything_else)
{
    static const char *const bad[] = {"",    "-a",  "A",   "a b", "a_b", "a.b",  "a/b",
                                      " a",  "a ",  "a\n", "ä",   "aé",  "rye%", "..",
                                      "a`b", "a{b", "a:b", "a@b", "a[b"};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        cr_assert_not(code_valid(bad[i]), "\"%s\"", bad[i]);
    }
    cr_assert_not(code_valid(NULL));
}

Test(code, length_ends_at_63)
{
    char text[CODE_MAX + 2];
    memset(text, 'x', sizeof text);
    text[CODE_MAX] = '\0';
    cr_assert(code_valid(text));
    text[CODE_MAX] = 'x';
    text[CODE_MAX + 1] = '\0';
    cr_assert_not(code_valid(text));
}
