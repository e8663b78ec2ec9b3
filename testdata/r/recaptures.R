# What R makes of a published tag-release table; the Go tests compare with what this
# prints. Run in this folder: Rscript recaptures.R > recaptures.out
# Data: recaptures.csv, gray triggerfish tagged in the Gulf of Mexico, vented or not,
# counted by depth from the public data of Hyman AC, Ramsay C, Wilms S, Frazer TK 2026,
# Front Mar Sci, doi 10.3389/fmars.2026.1743605. The depths stand for 17-25, 25-30,
# 30-35, 35-40 and 40-67 m; the strata are this program's bands (20,30], (30,40], (40,50].
say <- function(name, ...) cat(name, sprintf("%.12g", c(...)), "\n")
d <- read.csv("recaptures.csv")
d$band <- cut(d$depth_m, c(0, 20, 30, 40, 50, 60, 80, 100, 150, Inf))
t <- aggregate(cbind(recaptured, released) ~ band + method, data = d, FUN = sum)
a <- t[t$method == "vented", ]
b <- t[t$method == "surface", ]
x1 <- sum(a$recaptured); n1 <- sum(a$released); x2 <- sum(b$recaptured); n2 <- sum(b$released)
say("vented", x1, n1, prop.test(x1, n1, correct = FALSE)$conf.int)
say("surface", x2, n2, prop.test(x2, n2, correct = FALSE)$conf.int)
say("clopper_pearson_vented", binom.test(x1, n1)$conf.int)
say("ratio", (x1 / n1) / (x2 / n2))
# Koopman's score interval, as the roots of the score statistic.
chi <- function(r) {
  h <- r * (n1 + x2) + x1 + n2
  p2 <- (h - sqrt(h^2 - 4 * r * (n1 + n2) * (x1 + x2))) / (2 * r * (n1 + n2))
  p1 <- r * p2
  (x1 - n1 * p1)^2 / (n1 * p1 * (1 - p1)) + (x2 - n2 * p2)^2 / (n2 * p2 * (1 - p2)) - qchisq(0.95, 1)
}
r <- (x1 / n1) / (x2 / n2)
say("koopman", uniroot(chi, c(r / 5, r), tol = 1e-14)$root, uniroot(chi, c(r, r * 5), tol = 1e-14)$root)
say("fisher", fisher.test(matrix(c(x1, n1 - x1, x2, n2 - x2), 2, byrow = TRUE))$p.value)
suppressMessages(library(metafor))
m <- rma.mh(ai = a$recaptured, n1i = a$released, ci = b$recaptured, n2i = b$released, measure = "RR")
say("mh_rr", exp(c(m$beta)), m$se, exp(m$ci.lb), exp(m$ci.ub))
m <- rma.mh(ai = a$recaptured, n1i = a$released, ci = b$recaptured, n2i = b$released, measure = "RD")
say("mh_rd", c(m$beta), m$se)
cells <- array(rbind(a$recaptured, b$recaptured, a$released - a$recaptured, b$released - b$recaptured), c(2, 2, 3))
c1 <- mantelhaen.test(cells, correct = FALSE)
say("mh_or", c1$estimate, c1$conf.int)
say("cmh", c1$statistic, c1$p.value)
m <- rma.mh(ai = a$recaptured, n1i = a$released, ci = b$recaptured, n2i = b$released, measure = "OR")
say("breslow_day", m$BD, m$BDp)
all <- aggregate(cbind(recaptured, released) ~ band, data = d, FUN = sum)
score <- c(25, 35, 45)
s <- prop.trend.test(all$recaptured, all$released, score)
say("trend", s$statistic, s$p.value)
say("needed", power.prop.test(p1 = x1 / n1, p2 = x2 / n2, power = 0.8, tol = 1e-12)$n)
